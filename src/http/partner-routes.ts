import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Context } from '../services/context.ts'
import { changeRegime, RegimeSaid, registeredPartners } from '../services/partner-regimes.ts'
import { jsonBody } from './described.ts'
import { plainBody } from './fhir-body.ts'
import { outcomes } from './schemas.ts'

const Partner = z.object({ partnerId: z.string(), name: z.string(), regime: z.string() })
const PartnerId = z.object({ id: z.string().regex(/^[0-9a-f-]{36}$/) })
const BODY_LIMIT = 4_096

const SECURED = {
  tags: ['Administration'],
  security: [{ bearer: [] }],
}

/** Which partners there are, and which law their content is under; said by whoever has the scope `admin`. Below `/admin`. */
export const partnerRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  app.route({
    method: 'GET',
    url: '/partners',
    schema: {
      ...SECURED,
      operationId: 'listPartners',
      summary: 'The partners of the clinic, each with the law that its content is under',
      description:
        'For staff who search the worklist (Task.s) or administer (admin). By its partnerId a partner’s referrals are found: Task?code=orthotic-referral&partner=[partnerId]&_sort=-urgency,due.',
      response: { 200: z.object({ partners: z.array(Partner) }), ...outcomes() },
    },
    handler: async (request) => ({ partners: await registeredPartners(context, request.caller) }),
  })
  app.route({
    method: 'PUT',
    url: '/partners/:id',
    bodyLimit: BODY_LIMIT,
    schema: {
      ...SECURED,
      operationId: 'changeRegime',
      summary: 'Say which law the content of a partner is under',
      description:
        'It decides which consents must be on record when the partner sends, and which records are open to it; these are decided anew before the answer.',
      described: { body: jsonBody('The law.', RegimeSaid) },
      params: PartnerId,
      response: { 200: Partner, ...outcomes(400, 404, 413, 415) },
    },
    handler: (request) =>
      changeRegime(context, request.caller, {
        partnerId: request.params.id,
        body: plainBody(request),
      }),
  })
}
