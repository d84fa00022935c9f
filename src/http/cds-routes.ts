import type { FastifyReply } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { acceptedLanguage } from '../fhir/accepted-language.ts'
import { CDS_HOOKS, CDS_SERVICES, type CdsService } from '../fhir/cds-services.ts'
import { advise } from '../services/cds-advice.ts'
import { takeFeedback } from '../services/cds-feedback.ts'
import type { Context } from '../services/context.ts'
import { CARDS, CDS_CALL, CDS_FEEDBACK } from './described-cds.ts'
import { ACCEPT_LANGUAGE } from './described-headers.ts'
import { plainBody } from './fhir-body.ts'
import { outcomes } from './schemas.ts'

const JSON_TYPE = 'application/json; charset=utf-8'
const FRESH_S = 3_600
const NAMES = { 'patient-view': 'cdsPatientView', 'order-sign': 'cdsOrderSign' } as const

const FEEDBACK_NAMES = {
  'patient-view': 'cdsViewFeedback',
  'order-sign': 'cdsSignFeedback',
} as const
/** A hundred cards with all that may stand beside them. */
const FEEDBACK_BYTES = 262_144

const SECURED = {
  tags: ['CDS Hooks'],
  security: [{ bearer: [] }],
  consumes: ['application/json'],
}
const Services = z.object({
  services: z.array(
    z.object({
      hook: z.enum(CDS_HOOKS),
      title: z.string(),
      description: z.string(),
      id: z.string(),
      prefetch: z.record(z.string(), z.string()),
      usageRequirements: z.string(),
    }),
  ),
})

/** Which hooks are answered, and what is to be sent along; open. Paths are relative to `/cds-services`. */
export const cdsDiscovery: FastifyPluginAsyncZod = async (app) => {
  app.route({
    method: 'GET',
    url: '',
    schema: {
      tags: ['CDS Hooks'],
      operationId: 'cdsServices',
      summary: 'The services of CDS Hooks 2.0 that give advice at the point of care',
      response: { 200: Services },
    },
    handler: async (_request, reply) => {
      reply.header('cache-control', `public, max-age=${FRESH_S}`)
      return reply.type(JSON_TYPE).send({ services: CDS_SERVICES.map((one) => ({ ...one })) })
    },
  })
}

type Plugin = FastifyPluginAsyncZod<{ context: Context; service: CdsService }>

/** The hooks and what became of their cards, for registered clients. Paths are relative to `/cds-services`. */
export const cdsRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (app, { context }) => {
  for (const service of CDS_SERVICES) {
    await app.register(hookRoute, { context, service })
    await app.register(feedbackRoute, { context, service })
  }
}

/** Nothing that is sent is kept. */
const hookRoute: Plugin = async (app, { context, service }) => {
  app.route({
    method: 'POST',
    url: `/${service.id}`,
    config: { anyAnswer: true },
    schema: {
      ...SECURED,
      described: {
        headers: [ACCEPT_LANGUAGE],
        body: CDS_CALL,
        answers: { 200: ['Content-Language'] },
      },
      operationId: NAMES[service.hook],
      summary: service.title,
      description: `${service.description} Hook ${service.hook}. A JWT that the client signed for this address (ES384 or RS384, at most five minutes, its jti never used before), or an access token with ServiceRequest.c.`,
      response: { 200: CARDS, ...outcomes(400, 412, 413, 415, 422) },
    },
    handler: async (request, reply) => {
      const language = acceptedLanguage(request.headers['accept-language'], context.language)
      const body = plainBody(request)
      const cards = await advise(context, request.caller, { service, body, language })
      return sent(reply.header('content-language', language), cards)
    },
  })
}

const sent = (reply: FastifyReply, text: string): FastifyReply => reply.type(JSON_TYPE).send(text)

const feedbackRoute: Plugin = async (app, { context, service }) => {
  app.route({
    method: 'POST',
    url: `/${service.id}/feedback`,
    config: { anyAnswer: true },
    bodyLimit: FEEDBACK_BYTES,
    schema: {
      ...SECURED,
      operationId: FEEDBACK_NAMES[service.hook],
      summary: `What became of the cards of ${service.hook}`,
      description:
        'Feedback of CDS Hooks 2.0: per card whether it was accepted or overridden, when, and the code of the reason. Comments are not kept. The same again changes nothing. A JWT that the client signed for this address, or an access token with ServiceRequest.c.',
      described: { body: CDS_FEEDBACK },
      response: { 200: z.undefined().meta({ description: 'Kept' }), ...outcomes(400, 413, 415) },
    },
    handler: async (request, reply) => {
      await takeFeedback(context, request.caller, { service, body: plainBody(request) })
      return reply.status(200).send()
    },
  })
}
