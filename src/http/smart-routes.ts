import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { originOf, smartConfiguration } from '../fhir/smart-configuration.ts'

/** Where a client learns how to get a token; open to everybody. Paths are relative to the FHIR base. */
export const smartRoutes: FastifyPluginAsyncZod<{ baseUrl: string }> = async (app, { baseUrl }) => {
  const configuration = smartConfiguration(originOf(baseUrl))
  app.route({
    method: 'GET',
    url: '/.well-known/smart-configuration',
    schema: {
      tags: ['SMART'],
      operationId: 'smartConfiguration',
      summary: 'How a client gets a token (SMART App Launch)',
      response: { 200: z.record(z.string(), z.union([z.string(), z.array(z.string())])) },
    },
    handler: () => configuration,
  })
}
