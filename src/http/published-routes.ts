import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { AppError } from '../errors.ts'
import { CANONICAL } from '../fhir/codes.ts'
import { publishedPage, topicPage } from '../fhir/conformance/page.ts'
import { SUBSET_PARAMETERS, subsetParameters } from '../fhir/subset-parameters.ts'
import { topicOf } from '../fhir/subscription-topics.ts'
import { subset } from '../fhir/summary.ts'
import { REGISTRY } from '../fhir/registry.ts'
import type { Context } from '../services/context.ts'
import { publishedResource } from '../services/published.ts'
import { publishedSet } from '../services/published-set.ts'
import { READ_HEADERS } from './described-answers.ts'
import { UNLESS_KNOWN } from './described-headers.ts'
import { publishedSearch } from './described-searches.ts'
import { checkAcceptable, fhirJson, sendRead } from './fhir-answer.ts'
import { formBody, queryPairs } from './fhir-body.ts'
import { preferences } from './preferences.ts'
import { outcomes, resourceAnswer, Target, UNCHANGED } from './schemas.ts'

const OPEN = { tags: ['FHIR'], produces: ['application/fhir+json'] }
const Id = Target.pick({ id: true })

/**
 * What the service publishes about itself: profiles, code systems, value sets, operations. Open to everybody,
 * as the CapabilityStatement is; for a browser each is a page. Paths are relative to the FHIR base.
 */
export const publishedRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  for (const row of REGISTRY.filter(({ published }) => published === true)) {
    const { type } = row
    const asked = publishedSearch(row)
    app.route({
      method: 'GET',
      url: `/${type}/:id`,
      schema: {
        ...OPEN,
        described: {
          query: Object.values(SUBSET_PARAMETERS),
          headers: UNLESS_KNOWN,
          answers: READ_HEADERS,
        },
        produces: ['application/fhir+json', 'text/html'],
        summary: `Read a ${type} of this service, as JSON or as a page`,
        params: Id,
        response: { 200: resourceAnswer(type), ...UNCHANGED, ...outcomes(404) },
      },
      handler: (request, reply) => readAnswer(request, reply, type),
    })
    app.route({
      method: 'GET',
      url: `/${type}`,
      schema: {
        ...OPEN,
        described: asked.get,
        summary: `Search the ${type} resources of this service`,
        response: { 200: resourceAnswer('Bundle of type searchset'), ...outcomes(400) },
      },
      handler: (request, reply) => searchAnswer(request, reply, { type, form: [] }),
    })
    app.route({
      method: 'POST',
      url: `/${type}/_search`,
      schema: {
        ...OPEN,
        described: asked.form,
        summary: `Search the ${type} resources of this service with a form`,
        consumes: ['application/x-www-form-urlencoded'],
        body: z.unknown().meta({ description: 'Search parameters' }),
        response: { 200: resourceAnswer('Bundle of type searchset'), ...outcomes(400) },
      },
      handler: (request, reply) => searchAnswer(request, reply, { type, form: formBody(request) }),
    })
  }

  // R4 has no resource for a topic, so its canonical leads to a page alone.
  app.get(
    '/SubscriptionTopic/:id',
    { schema: { hide: true, params: Id } },
    (request: FastifyRequest<{ Params: { readonly id: string } }>, reply) => {
      const topic = topicOf(`${CANONICAL}/SubscriptionTopic/${request.params.id}`)
      if (topic === undefined || !wantsPage(request))
        throw new AppError(
          'not-found',
          'R4 has no SubscriptionTopic: topics are listed in the CapabilityStatement, and each has a page (text/html).',
        )
      return sendPage(reply, topicPage(topic))
    },
  )

  function readAnswer(
    request: FastifyRequest<{ Params: { readonly id: string } }>,
    reply: FastifyReply,
    type: string,
  ): FastifyReply {
    const found = publishedResource(context, { type, id: request.params.id })
    if (found === undefined) throw new AppError('not-found', `There is no such ${type}.`)
    if (wantsPage(request))
      return sendPage(
        reply,
        publishedPage(found.resource, `${context.baseUrl}/${type}/${found.id}`),
      )
    checkAcceptable(request)
    const asked = subsetParameters(queryPairs(request))
    return sendRead(request, reply, found, () => subset(found.body, asked))
  }

  function searchAnswer(
    request: FastifyRequest,
    reply: FastifyReply,
    { type, form }: { readonly type: string; readonly form: readonly [string, string][] },
  ): FastifyReply {
    checkAcceptable(request)
    const parameters = [...queryPairs(request), ...form]
    const { handling } = preferences(request)
    return fhirJson(request, reply).send(publishedSet(context, { type, parameters, handling }))
  }
}

const sendPage = (reply: FastifyReply, page: string): FastifyReply =>
  reply
    .type('text/html; charset=utf-8')
    .header(
      'content-security-policy',
      "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'",
    )
    .send(page)

/** A browser puts text/html first and asks for no format. */
const wantsPage = (request: FastifyRequest): boolean =>
  /^\s*(?:text\/html|application\/xhtml\+xml)/i.test(request.headers.accept ?? '') &&
  !queryPairs(request).some(([name]) => name === '_format')
