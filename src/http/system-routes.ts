import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { capabilities } from '../services/capabilities.ts'
import type { Context } from '../services/context.ts'
import { isReady } from '../services/readiness.ts'
import { noteCaching } from './answer-form.ts'
import { IF_NONE_MATCH } from './described-headers.ts'
import { isKnown } from './conditional-read.ts'
import { fhirJson } from './fhir-answer.ts'
import { resourceAnswer, UNCHANGED } from './schemas.ts'

/** The CapabilityStatement; open to everybody. Paths are relative to the FHIR base. */
export const metadataRoute: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  const { text, etag } = capabilities(context)

  app.route({
    method: 'GET',
    url: '/metadata',
    schema: {
      tags: ['FHIR'],
      produces: ['application/fhir+json'],
      described: { headers: [IF_NONE_MATCH], answers: { 200: ['ETag'], 304: ['ETag'] } },
      operationId: 'capabilities',
      summary: 'What this service can do',
      response: { 200: resourceAnswer('CapabilityStatement'), ...UNCHANGED },
    },
    handler: (request, reply) => {
      noteCaching(reply)
      reply.header('etag', etag)
      if (isKnown(request, { etag })) return reply.status(304).send()
      return fhirJson(request, reply).send(text)
    },
  })
}

const State = z.object({ status: z.enum(['up', 'down']) })

/** For whatever watches the process. */
export const healthRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  app.route({
    method: 'GET',
    url: '/health/live',
    schema: { tags: ['System'], operationId: 'live', response: { 200: State } },
    handler: () => ({ status: 'up' as const }),
  })
  app.route({
    method: 'GET',
    url: '/health/ready',
    schema: { tags: ['System'], operationId: 'ready', response: { 200: State, 503: State } },
    handler: async (_request, reply) => {
      const ready = await isReady(context)
      return reply.status(ready ? 200 : 503).send({ status: ready ? 'up' : 'down' })
    },
  })
}
