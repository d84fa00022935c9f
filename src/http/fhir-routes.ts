import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { SUBSET_PARAMETERS, subsetParameters } from '../fhir/subset-parameters.ts'
import { subset } from '../fhir/summary.ts'
import type { Caller } from '../security/access-token.ts'
import type { Context } from '../services/context.ts'
import { read, vread } from '../services/resources.ts'
import type { Kept } from '../services/write.ts'
import { READ_HEADERS } from './described-answers.ts'
import { UNLESS_KNOWN } from './described-headers.ts'
import { queryPairs } from './fhir-body.ts'
import { sendRead } from './fhir-answer.ts'
import { outcomes, resourceAnswer, SECURED, Target, UNCHANGED, Version } from './schemas.ts'

declare module 'fastify' {
  interface FastifyRequest {
    /** Set before any route below /fhir runs. */
    caller: Caller
  }
}

const READ = {
  ...SECURED,
  described: {
    query: Object.values(SUBSET_PARAMETERS),
    headers: UNLESS_KNOWN,
    answers: READ_HEADERS,
  },
}

/** Read and vread. Paths are relative to the FHIR base. */
export const fhirRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (app, { context }) => {
  app.route({
    method: 'GET',
    url: '/:type/:id',
    schema: {
      ...READ,
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
      ...READ,
      operationId: 'vread',
      summary: 'Read one version of a resource',
      params: Version,
      response: { 200: resourceAnswer('The version'), ...UNCHANGED, ...outcomes(400, 404, 410) },
    },
    handler: async (request, reply) =>
      readAnswer(request, reply, () => vread(context, request.caller, request.params)),
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
}
