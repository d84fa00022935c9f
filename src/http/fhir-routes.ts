import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { AppError } from '../errors.ts'
import type { Caller } from '../security/access-token.ts'
import type { Context } from '../services/context.ts'
import { read, vread } from '../services/resources.ts'
import { search } from '../services/search.ts'
import type { Kept } from '../services/write.ts'
import { formBody, queryPairs } from './fhir-body.ts'
import { answerType } from './media-types.ts'
import { preferences } from './preferences.ts'
import { outcomes, resourceAnswer, SECURED, Target, Type, Version } from './schemas.ts'

declare module 'fastify' {
  interface FastifyRequest {
    /** Set before any route below /fhir runs. */
    caller: Caller
  }
}

/** Read, search, create and the transaction. Paths are relative to the FHIR base. */
export const fhirRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (app, { context }) => {
  app.route({
    method: 'GET',
    url: '/:type/:id',
    schema: {
      ...SECURED,
      operationId: 'read',
      summary: 'Read a resource',
      params: Target,
      response: { 200: resourceAnswer('The resource'), ...outcomes(404, 410) },
    },
    handler: async (request, reply) =>
      sendKept(request, reply, await read(context, request.caller, request.params)),
  })

  app.route({
    method: 'GET',
    url: '/:type/:id/_history/:version',
    schema: {
      ...SECURED,
      operationId: 'vread',
      summary: 'Read one version of a resource',
      params: Version,
      response: { 200: resourceAnswer('The version'), ...outcomes(404, 410) },
    },
    handler: async (request, reply) =>
      sendKept(request, reply, await vread(context, request.caller, request.params)),
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

  for (const url of ['/', '/*'])
    app.route({
      method: ['PUT', 'PATCH', 'DELETE'],
      url,
      schema: { hide: true },
      handler: (_request, reply) => {
        reply.header('allow', 'GET, HEAD, POST')
        throw new AppError('method-not-allowed', 'This interaction is not supported here.')
      },
    })

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

/** Refuses an answer that cannot be given before anything is done for it. */
export function checkAcceptable(request: FastifyRequest): void {
  answerType(request, formatOf(request))
}

const formatOf = (request: FastifyRequest): string | undefined =>
  queryPairs(request).find(([name]) => name === '_format')?.[1]

/** Answers in the media type that was asked for. */
export function fhirJson(request: FastifyRequest, reply: FastifyReply): FastifyReply {
  return reply.type(`${answerType(request, formatOf(request))}; charset=utf-8`)
}

const versioned = (reply: FastifyReply, { version, updatedAt }: Kept): FastifyReply =>
  reply.header('etag', `W/"${version}"`).header('last-modified', new Date(updatedAt).toUTCString())

const sendKept = (request: FastifyRequest, reply: FastifyReply, kept: Kept): FastifyReply =>
  fhirJson(request, versioned(reply, kept)).send(kept.body)

/** The same after a write; without its body when the sender does not want it. */
export const sendWritten = (
  request: FastifyRequest,
  reply: FastifyReply,
  kept: Kept,
): FastifyReply =>
  preferences(request).returns === 'minimal'
    ? fhirJson(request, versioned(reply, kept)).send('')
    : sendKept(request, reply, kept)
