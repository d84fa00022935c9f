import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { HISTORY_PARAMETERS } from '../fhir/history-query.ts'
import type { Context } from '../services/context.ts'
import { history } from '../services/history.ts'
import type { HistoryTarget } from '../services/history-links.ts'
import { fhirJson } from './fhir-answer.ts'
import { queryPairs } from './fhir-body.ts'
import { preferences } from './preferences.ts'
import { outcomes, resourceAnswer, SECURED, Target, Type } from './schemas.ts'

const HISTORY = {
  ...SECURED,
  described: { query: HISTORY_PARAMETERS },
  description:
    'Newest first, deletions included. The pages of a walk show the history as it was at its start.',
  response: { 200: resourceAnswer('Bundle of type history'), ...outcomes(400, 404) },
}

/** Histories of a resource, of a type and of everything. Paths are relative to the FHIR base. */
export const historyRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  const answer = async (request: FastifyRequest, reply: FastifyReply, target: HistoryTarget) =>
    fhirJson(request, reply).send(
      await history(context, request.caller, {
        target,
        pairs: queryPairs(request),
        handling: preferences(request).handling,
      }),
    )

  app.route({
    method: 'GET',
    url: '/:type/:id/_history',
    schema: {
      ...HISTORY,
      operationId: 'historyOfInstance',
      summary: 'Every version of a resource',
      params: Target,
    },
    handler: (request, reply) => answer(request, reply, request.params),
  })

  app.route({
    method: 'GET',
    url: '/:type/_history',
    schema: {
      ...HISTORY,
      operationId: 'historyOfType',
      summary: 'Every version of every resource of a type',
      params: Type,
    },
    handler: (request, reply) => answer(request, reply, request.params),
  })

  app.route({
    method: 'GET',
    url: '/_history',
    schema: {
      ...HISTORY,
      operationId: 'historyOfSystem',
      summary: 'Every version of everything that the token may search',
    },
    handler: (request, reply) => answer(request, reply, {}),
  })
}
