import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Context } from '../services/context.ts'
import { search } from '../services/search.ts'
import type { SearchRequest } from '../services/search-plan.ts'
import { COMPARTMENT_SEARCH, SYSTEM_SEARCH, TYPE_SEARCH } from './described-searches.ts'
import { fhirJson } from './fhir-answer.ts'
import { formBody, queryPairs } from './fhir-body.ts'
import { preferences } from './preferences.ts'
import { outcomes, resourceAnswer, SECURED, Type } from './schemas.ts'

const SEARCH = {
  ...SECURED,
  description: 'Parameters of each type are listed in the CapabilityStatement.',
  response: { 200: resourceAnswer('Bundle of type searchset'), ...outcomes(400, 404) },
}
const FORM = {
  ...SEARCH,
  consumes: ['application/x-www-form-urlencoded'],
  body: z.unknown().meta({ description: 'Search parameters' }),
}

const InCompartment = z.object({
  id: z.string().regex(/^[A-Za-z0-9\-.]{1,64}$/),
  inner: z.string().max(64).meta({ description: 'A resource type, or * for all', example: 'Task' }),
})

type Asked = Pick<SearchRequest, 'type' | 'patientId'>

/** Searches of a type, across types and in the compartment of a Patient. Relative to the FHIR base. */
export const searchRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  const answer = async (
    request: FastifyRequest,
    reply: FastifyReply,
    asked: Asked,
    form: readonly [string, string][] = [],
  ) => {
    const parameters = [...queryPairs(request), ...form]
    const { handling } = preferences(request)
    const found = await search(context, request.caller, { ...asked, parameters, handling })
    return fhirJson(request, reply).send(found)
  }

  app.route({
    method: 'GET',
    url: '/:type',
    schema: {
      ...SEARCH,
      described: TYPE_SEARCH.get,
      operationId: 'search',
      summary: 'Search resources of a type',
      params: Type,
    },
    handler: (request, reply) => answer(request, reply, request.params),
  })

  app.route({
    method: 'POST',
    url: '/:type/_search',
    schema: {
      ...FORM,
      described: TYPE_SEARCH.form,
      operationId: 'searchByForm',
      summary: 'Search with the parameters in a form',
      params: Type,
    },
    handler: (request, reply) => answer(request, reply, request.params, formBody(request)),
  })

  app.route({
    method: 'GET',
    url: '/',
    schema: {
      ...SEARCH,
      described: SYSTEM_SEARCH.get,
      operationId: 'searchSystem',
      summary: 'Search across types, by _type',
    },
    handler: (request, reply) => answer(request, reply, {}),
  })

  app.route({
    method: 'POST',
    url: '/_search',
    schema: {
      ...FORM,
      described: SYSTEM_SEARCH.form,
      operationId: 'searchSystemByForm',
      summary: 'Search across types with the parameters in a form',
    },
    handler: (request, reply) => answer(request, reply, {}, formBody(request)),
  })

  // What is no name of a type is left to other routes: `_history`, `$everything`.
  app.route({
    method: 'GET',
    url: '/Patient/:id/:inner(^[A-Z*][A-Za-z]*$)',
    schema: {
      ...SEARCH,
      described: COMPARTMENT_SEARCH.get,
      operationId: 'searchCompartment',
      summary: 'Search what is about a child, of one type or of all (*)',
      params: InCompartment,
    },
    handler: (request, reply) => answer(request, reply, compartmentOf(request.params)),
  })

  app.route({
    method: 'POST',
    url: '/Patient/:id/:inner(^[A-Z*][A-Za-z]*$)/_search',
    schema: {
      ...FORM,
      described: COMPARTMENT_SEARCH.form,
      operationId: 'searchCompartmentByForm',
      summary: 'Search what is about a child with the parameters in a form',
      params: InCompartment,
    },
    handler: (request, reply) =>
      answer(request, reply, compartmentOf(request.params), formBody(request)),
  })
}

const compartmentOf = ({ id, inner }: z.output<typeof InCompartment>): Asked => ({
  patientId: id,
  ...(inner === '*' ? {} : { type: inner }),
})
