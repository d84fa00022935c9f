import { createHash } from 'node:crypto'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { capabilityStatement } from '../fhir/capability.ts'
import type { Context } from '../services/context.ts'
import { isReady } from '../services/readiness.ts'
import { noteCaching } from './answer-form.ts'
import { isKnown } from './conditional-read.ts'
import { fhirJson } from './fhir-answer.ts'
import { resourceAnswer, UNCHANGED } from './schemas.ts'

/** The CapabilityStatement; open to everybody. Paths are relative to the FHIR base. */
export const metadataRoute: FastifyPluginAsyncZod<{
  context: Context
  /** May scripts in a browser call the service? */
  cors: boolean
}> = async (app, { context, cors }) => {
  const [name = '', version = ''] = context.software.split(' ')
  const text = JSON.stringify(
    capabilityStatement({ name, version, baseUrl: context.baseUrl, cors }),
  )
  const etag = `W/"${createHash('sha256').update(text).digest('hex').slice(0, 16)}"`

  app.route({
    method: 'GET',
    url: '/metadata',
    schema: {
      tags: ['FHIR'],
      produces: ['application/fhir+json'],
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
