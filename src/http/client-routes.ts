import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { Registration } from '../services/client-registration.ts'
import {
  registerClient,
  registeredClient,
  registeredClients,
  revokeRegisteredClient,
} from '../services/clients.ts'
import type { Context } from '../services/context.ts'
import { jsonBody } from './described.ts'
import { plainBody } from './fhir-body.ts'
import { outcomes } from './schemas.ts'

const Client = z.object({
  clientId: z.string(),
  name: z.string(),
  partnerId: z.string().optional(),
  scope: z.string(),
  jwksUrl: z.string().optional(),
  keyIds: z.array(z.string()).readonly(),
  createdAt: z.string(),
  revokedAt: z.string().optional(),
})
const ClientId = z.object({ id: z.string().regex(/^[\w.~-]{1,64}$/) })
const BODY_LIMIT = 131_072

const SECURED = {
  tags: ['Administration'],
  security: [{ bearer: [] }],
}

/** Which systems may call; for staff with the scope `admin`. Paths are relative to `/admin`. */
export const clientRoutes: FastifyPluginAsyncZod<{
  context: Context
  jwksOrigins: readonly string[]
}> = async (app, { context, jwksOrigins }) => {
  app.route({
    method: 'POST',
    url: '/clients',
    bodyLimit: BODY_LIMIT,
    schema: {
      ...SECURED,
      operationId: 'registerClient',
      summary: 'Register a client system',
      described: {
        answers: { 201: ['Location'] },
        body: jsonBody('What the system is, and one of jwks and jwksUrl.', Registration),
      },
      response: { 201: Client, ...outcomes(400, 413, 415) },
    },
    handler: async (request, reply) => {
      const client = await registerClient(context, request.caller, plainBody(request), jwksOrigins)
      reply.header('location', `${request.url.split('?')[0]}/${client.clientId}`)
      return reply.status(201).send(client)
    },
  })
  app.route({
    method: 'GET',
    url: '/clients',
    schema: {
      ...SECURED,
      operationId: 'listClients',
      summary: 'The client systems of the clinic and of its partners, revoked ones too',
      response: { 200: z.object({ clients: z.array(Client) }), ...outcomes() },
    },
    handler: async (request) => ({ clients: await registeredClients(context, request.caller) }),
  })
  app.route({
    method: 'GET',
    url: '/clients/:id',
    schema: {
      ...SECURED,
      operationId: 'readClient',
      summary: 'A client system',
      params: ClientId,
      response: { 200: Client, ...outcomes(404) },
    },
    handler: (request) => registeredClient(context, request.caller, request.params.id),
  })
  app.route({
    method: 'DELETE',
    url: '/clients/:id',
    schema: {
      ...SECURED,
      operationId: 'revokeClient',
      summary: 'Revoke a client system: no token from now on, none taken within a minute',
      params: ClientId,
      response: { 204: z.undefined().meta({ description: 'Revoked' }), ...outcomes(404) },
    },
    handler: async (request, reply) => {
      await revokeRegisteredClient(context, request.caller, request.params.id)
      return reply.status(204).send()
    },
  })
}
