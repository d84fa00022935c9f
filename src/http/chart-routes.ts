import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { askedWrongly } from '../errors.ts'
import { chartKind } from '../fhir/chart-parameters.ts'
import type { PictureKind } from '../pictures/picture.ts'
import { PICTURE_KINDS } from '../pictures/picture.ts'
import { drawChart } from '../services/chart.ts'
import type { Context } from '../services/context.ts'
import { askedAsDefined, formatAmong } from './described-operations.ts'
import { checkAcceptable, fhirJson, isWanted } from './fhir-answer.ts'
import { fhirBody, queryPairs, rawBody } from './fhir-body.ts'
import { askedIn } from './operation-request.ts'
import { Asked } from './operation-routes.ts'
import { outcomes, resourceAnswer, SECURED, Target } from './schemas.ts'

const SVG = 'image/svg+xml'
/** A picture opened by itself runs and loads nothing, and stands in no frame. */
const POLICY = "default-src 'none'; frame-ancestors 'none'; sandbox"

const Of = Target.pick({ id: true })
const Kind = z.string().optional()

/** Pictures of what is found about a child. Paths are relative to the FHIR base. */
export const chartRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  for (const type of ['ServiceRequest', 'Patient'] as const)
    app.route({
      method: ['GET', 'POST'],
      url: `/${type}/:id/$chart`,
      config: { anyAnswer: true },
      schema: {
        ...SECURED,
        produces: [SVG, 'application/fhir+json'],
        described: askedAsDefined(type, 'chart', formatAmong(SVG)),
        params: Of,
        querystring: Asked.extend({ kind: Kind }),
        summary:
          type === 'Patient'
            ? 'A picture of what is found about a child, by its newest referral'
            : 'A picture of what is found about the child of a referral',
        description: `An SVG, or a Binary that holds it where FHIR JSON is asked for. Kinds: ${PICTURE_KINDS.join(', ')}. Nothing is stored.`,
        response: {
          200: resourceAnswer('The picture, or a Binary'),
          ...outcomes(400, 404, 406, 410, 422),
        },
      },
      handler: async (request, reply) => {
        const asPicture = isWanted(request, SVG)
        if (!asPicture) checkAcceptable(request)
        const asked = { ...askedIn(request), kind: kindIn(request) }
        const of = { type, id: request.params.id }
        const { svg } = await drawChart(context, request.caller, { ...asked, of })
        return asPicture ? sendPicture(reply, svg) : sendBinary(request, reply, svg)
      },
    })
}

function kindIn(request: FastifyRequest): PictureKind {
  const body = rawBody(request).length === 0 ? undefined : fhirBody(request).value
  const found = chartKind(queryPairs(request), body)
  if (found.ok) return found.kind
  throw askedWrongly([found.fault])
}

const sendPicture = (reply: FastifyReply, svg: string): FastifyReply =>
  reply
    .type(`${SVG}; charset=utf-8`)
    .header('content-security-policy', POLICY)
    .header('x-content-type-options', 'nosniff')
    .send(svg)

function sendBinary(request: FastifyRequest, reply: FastifyReply, svg: string): FastifyReply {
  const data = Buffer.from(svg).toString('base64')
  const binary = { resourceType: 'Binary', contentType: SVG, data }
  return fhirJson(request, reply).send(JSON.stringify(binary))
}
