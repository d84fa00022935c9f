import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { subsetParameters } from '../fhir/subset-parameters.ts'
import { subset } from '../fhir/summary.ts'
import type { Caller } from '../security/access-token.ts'
import type { Context } from '../services/context.ts'
import { read, vread } from '../services/resources.ts'
import { search } from '../services/search.ts'
import type { Kept } from '../services/write.ts'
import { formBody, queryPairs } from './fhir-body.ts'
import { fhirJson, sendRead } from './fhir-answer.ts'
import { preferences } from './preferences.ts'
import { outcomes, resourceAnswer, SECURED, Target, Type, UNCHANGED, Version } from './schemas.ts'

declare module 'fastify' {
  interface FastifyRequest {
    /** Set before any route below /fhir runs. */
    caller: Caller
  }
}

/** Read, vread and search. Paths are relative to the FHIR base. */
export const fhirRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (app, { context }) => {
  app.route({
    method: 'GET',
    url: '/:type/:id',
    schema: {
      ...SECURED,
      operationId: 'read',
      summary: 'Read a resource',
      params: Target,
      response: { 200: resourceAnswer('The resource'), ...UNCHANGED, ...outcomes(400, 404, 410) },
    },
    handler: async (request, reply) =>
      readAnswer(request, reply, () => read(context, request.caller, request.params)),
  })

  app.route({
    method: 'GET',
    url: '/:type/:id/_history/:version',
    schema: {
      ...SECURED,
      operationId: 'vread',
      summary: 'Read one version of a resource',
      params: Version,
      response: { 200: resourceAnswer('The version'), ...UNCHANGED, ...outcomes(400, 404, 410) },
    },
    handler: async (request, reply) =>
      readAnswer(request, reply, () => vread(context, request.caller, request.params)),
  })

  app.route({
    method: 'GET',
    url: '/:type',
    schema: {
      ...SECURED,
      operationId: 'search',
      summary: 'Search resources of a type',
      description: 'Parameters of each type are listed in the CapabilityStatement.',
      params: Type,
      response: { 200: resourceAnswer('Bundle of type searchset'), ...outcomes(400, 404) },
    },
    handler: (request, reply) => searchAnswer(request, reply, queryPairs(request)),
  })

  app.route({
    method: 'POST',
    url: '/:type/_search',
    schema: {
      ...SECURED,
      operationId: 'searchByForm',
      summary: 'Search with the parameters in a form',
      params: Type,
      consumes: ['application/x-www-form-urlencoded'],
      body: z.unknown().meta({ description: 'Search parameters' }),
      response: { 200: resourceAnswer('Bundle of type searchset'), ...outcomes(400, 404) },
    },
    handler: (request, reply) =>
      searchAnswer(request, reply, [...queryPairs(request), ...formBody(request)]),
  })

  async function readAnswer(
    request: FastifyRequest,
    reply: FastifyReply,
    reading: () => Promise<Kept>,
  ): Promise<FastifyReply> {
    const asked = subsetParameters(queryPairs(request))
    const kept = await reading()
    return sendRead(request, reply, kept, () => subset(kept.body, asked))
  }

  async function searchAnswer(
    request: FastifyRequest<{ Params: z.output<typeof Type> }>,
    reply: FastifyReply,
    parameters: readonly [string, string][],
  ): Promise<FastifyReply> {
    const { type } = request.params
    const { handling } = preferences(request)
    const found = await search(context, request.caller, { type, parameters, handling })
    return fhirJson(request, reply).send(found)
  }
}
