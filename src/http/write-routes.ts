import type { FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { AppError } from '../errors.ts'
import type { Meant } from '../fhir/operations.ts'
import type { Context } from '../services/context.ts'
import { create, remove, update } from '../services/single-writes.ts'
import { sentInteractions } from '../services/transaction.ts'
import { CREATED_HEADERS, WRITTEN_HEADERS } from './described-answers.ts'
import {
  BUNDLE_PREFERENCES,
  IDEMPOTENCY_KEY,
  IF_MATCH,
  IF_NEW,
  IF_NONE_EXIST,
  RETURNING,
} from './described-headers.ts'
import { CONDITION } from './described-searches.ts'
import { fhirBody } from './fhir-body.ts'
import { fhirJson, sendWrittenAt } from './fhir-answer.ts'
import { preferences } from './preferences.ts'
import { provenanceOf, refuseProvenance } from './provenance.ts'
import { outcomes, resourceAnswer, SECURED, Target, Type } from './schemas.ts'
import { createOf, ONCE } from './sent-once.ts'
import { Create, IfMatch, Update } from './write-headers.ts'

/** Transaction, batch, create, update and delete. Paths are relative to the FHIR base. */
export const writeRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  app.route({
    method: 'POST',
    url: '/',
    schema: {
      ...SECURED,
      described: {
        headers: [IDEMPOTENCY_KEY, BUNDLE_PREFERENCES],
        answers: { 200: ['Idempotent-Replayed'] },
      },
      operationId: 'transaction',
      summary: 'Send a transaction or batch Bundle, for instance a referral',
      description:
        'A transaction is done all or nothing, a batch entry by entry. Referrals are triaged before it ends. Sent again with the same Idempotency-Key, or with ifNoneExist on every entry, it doubles nothing.',
      headers: z.object(ONCE),
      body: z.unknown().meta({ description: 'Bundle of type transaction or batch' }),
      response: {
        200: resourceAnswer('Bundle of type transaction-response or batch-response'),
        ...outcomes(400, 404, 405, 409, 410, 412, 422),
      },
    },
    handler: async (request, reply) => {
      refuseProvenance(request)
      const { value, hash } = fhirBody(request)
      const { returns, handling } = preferences(request)
      const answer = await sentInteractions(context, request.caller, {
        body: value,
        bodyHash: hash,
        idempotencyKey: request.headers['idempotency-key'],
        returns,
        handling,
      })
      if (answer.repeated) reply.header('idempotent-replayed', 'true')
      return fhirJson(request, reply).send(answer.body)
    },
  })

  app.route({
    method: 'POST',
    url: '/:type',
    schema: {
      ...SECURED,
      described: {
        headers: [IF_NONE_EXIST, IDEMPOTENCY_KEY, RETURNING],
        answers: CREATED_HEADERS,
      },
      operationId: 'create',
      summary: 'Create a resource',
      params: Type,
      headers: Create,
      body: z.unknown().meta({ description: 'The resource' }),
      response: {
        200: resourceAnswer('The resource that the condition found'),
        201: resourceAnswer('The resource'),
        ...outcomes(400, 404, 405, 412, 422),
      },
    },
    handler: async (request, reply) => {
      const { type } = request.params
      const done = await create(context, request.caller, {
        type,
        body: () => fhirBody(request).value,
        ifNoneExist: request.headers['if-none-exist'],
        provenance: provenanceOf(request),
        request: createOf(request, type),
      })
      return sendWrittenAt(request, reply, context.baseUrl, done)
    },
  })

  for (const url of ['/:type/:id', '/:type'] as const) {
    const query = url === '/:type' ? CONDITION : []
    app.route({
      method: 'PUT',
      url,
      schema: {
        ...SECURED,
        described: {
          query,
          headers: [IF_MATCH, IF_NEW, RETURNING],
          answers: WRITTEN_HEADERS,
        },
        operationId: url === '/:type' ? 'conditionalUpdate' : 'update',
        summary: 'Replace a resource by a new version',
        description:
          'By its id, or by a search that finds it; one that finds nothing creates. If-Match names the version that is replaced, or several of which one is; * is any that there is. If-None-Match: * replaces nothing, and with tags no version that has one of them.',
        params: url === '/:type' ? Type : Target,
        headers: Update,
        body: z.unknown().meta({ description: 'The resource' }),
        response: {
          200: resourceAnswer('The new version'),
          201: resourceAnswer('The resource, where the search found none'),
          ...outcomes(400, 404, 405, 412, 422),
        },
      },
      handler: async (request, reply) => {
        const done = await update(context, request.caller, {
          type: request.params.type,
          body: () => fhirBody(request).value,
          provenance: provenanceOf(request),
          meant: meantIn(request),
          ifMatch: request.headers['if-match'],
          ifNoneMatch: request.headers['if-none-match'],
        })
        return sendWrittenAt(request, reply, context.baseUrl, done)
      },
    })

    app.route({
      method: 'DELETE',
      url,
      schema: {
        ...SECURED,
        described: { query, headers: [IF_MATCH], answers: { 204: ['ETag'] } },
        operationId: url === '/:type' ? 'conditionalDelete' : 'delete',
        summary: 'Take a resource out of sight',
        description: 'Its versions stay in the history. Refused while something refers to it.',
        params: url === '/:type' ? Type : Target,
        headers: IfMatch,
        response: {
          204: z.undefined().meta({ description: 'It is gone' }),
          ...outcomes(400, 404, 405, 409, 412),
        },
      },
      handler: async (request, reply) => {
        refuseProvenance(request)
        const { kept } = await remove(context, request.caller, {
          type: request.params.type,
          meant: meantIn(request),
          ifMatch: request.headers['if-match'],
        })
        if (kept !== undefined) reply.header('etag', `W/"${kept.version}"`)
        return reply.status(204).send()
      },
    })
  }
}

/** Which resource an address means: by its id, or by the search in it. */
export function meantIn({ params, raw }: FastifyRequest): Meant {
  if (typeof params === 'object' && params !== null && 'id' in params)
    return { id: String(params.id) }
  const condition = (raw.url ?? '').split('?').slice(1).join('?')
  if (condition !== '') return { condition }
  throw new AppError('invalid-request', 'Which resource is meant?', [
    {
      severity: 'error',
      code: 'required',
      expression: 'http.query',
      rule: 'entry-condition',
      text: 'An id is needed in the address, or a search that finds the resource.',
    },
  ])
}
