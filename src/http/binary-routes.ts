import type { FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { ANSWER_FORM, type AskedParameter } from '../fhir/asked-parameter.ts'
import { parseText } from '../fhir/json-body.ts'
import type { Binary } from '../fhir/r4/types.ts'
import type { Context } from '../services/context.ts'
import { read } from '../services/resources.ts'
import { create, update } from '../services/single-writes.ts'
import { CREATED_HEADERS, READ_HEADERS, WRITTEN_HEADERS } from './described-answers.ts'
import {
  IDEMPOTENCY_KEY,
  IF_MATCH,
  IF_NEW,
  IF_NONE_EXIST,
  RETURNING,
  SECURITY_CONTEXT,
  UNLESS_KNOWN,
} from './described-headers.ts'
import { fhirBody, isJsonBody, queryPairs, rawBody } from './fhir-body.ts'
import { isKnownVersion, sendRead, sendWrittenAt } from './fhir-answer.ts'
import { provenanceOf } from './provenance.ts'
import { outcomes, resourceAnswer, SECURED, Target, UNCHANGED } from './schemas.ts'
import { createOf } from './sent-once.ts'
import { Create, Update } from './write-headers.ts'

declare module 'fastify' {
  interface FastifyContextConfig {
    /** May answer in a media type that is not FHIR's. */
    anyAnswer?: true
  }
}

/** So that Binary/_history is not taken for one. */
const BINARY = '/Binary/:id(^[A-Za-z0-9.-]{1,64}$)'
const Id = Target.pick({ id: true })

const AS_RESOURCE: AskedParameter = {
  ...ANSWER_FORM[0],
  description: 'json or application/fhir+json: the resource, whatever Accept says.',
}

/**
 * A Binary is read and written as a resource, or as the content that it holds (R4 2.39.5). Content goes out as a
 * download that nothing runs in, whatever it says it is.
 */
export const binaryRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  app.route({
    method: 'GET',
    url: BINARY,
    config: { anyAnswer: true },
    schema: {
      ...SECURED,
      described: { query: [AS_RESOURCE], headers: UNLESS_KNOWN, answers: READ_HEADERS },
      operationId: 'readBinary',
      summary: 'Read a Binary, as a resource or as its content',
      description:
        'As a resource where Accept names FHIR JSON, else as the content itself, also for Accept: */*.',
      params: Id,
      response: {
        200: resourceAnswer('The resource or its content'),
        ...UNCHANGED,
        ...outcomes(404, 410),
      },
    },
    handler: async (request, reply) => {
      const kept = await read(context, request.caller, { type: 'Binary', id: request.params.id })
      if (wantsResource(request)) return sendRead(request, reply, kept, () => kept.body)
      if (isKnownVersion(request, reply, kept)) return reply.status(304).send()
      const { contentType, data = '' } = binaryOf(kept.body)
      return reply
        .type(contentType)
        .header('content-disposition', 'attachment')
        .header('content-security-policy', "sandbox; default-src 'none'")
        .header('x-content-type-options', 'nosniff')
        .send(Buffer.from(data, 'base64'))
    },
  })

  await app.register(binaryWrites, { context })
}

const AnyContent = z.unknown().meta({ description: 'A Binary resource, or any content' })
const CONSUMES = ['application/fhir+json', '*/*']
const SecurityContext = { 'x-security-context': z.string().max(512).optional() }

const binaryWrites: FastifyPluginAsyncZod<{ context: Context }> = async (app, { context }) => {
  app.route({
    method: 'POST',
    url: '/Binary',
    schema: {
      ...SECURED,
      consumes: CONSUMES,
      described: {
        headers: [SECURITY_CONTEXT, IF_NONE_EXIST, IDEMPOTENCY_KEY, RETURNING],
        answers: CREATED_HEADERS,
      },
      operationId: 'createBinary',
      summary: 'Keep a Binary, sent as a resource or as its content',
      headers: Create.extend(SecurityContext),
      body: AnyContent,
      response: {
        200: resourceAnswer('The resource that the condition found'),
        201: resourceAnswer('The resource'),
        ...outcomes(400, 412, 415, 422),
      },
    },
    handler: async (request, reply) => {
      const done = await create(context, request.caller, {
        type: 'Binary',
        body: () => sentBinary(request),
        ifNoneExist: request.headers['if-none-exist'],
        provenance: provenanceOf(request),
        request: createOf(request, 'Binary'),
      })
      return sendWrittenAt(request, reply, context.baseUrl, done)
    },
  })

  app.route({
    method: 'PUT',
    url: BINARY,
    schema: {
      ...SECURED,
      consumes: CONSUMES,
      described: {
        headers: [SECURITY_CONTEXT, IF_MATCH, IF_NEW, RETURNING],
        answers: WRITTEN_HEADERS,
      },
      operationId: 'updateBinary',
      summary: 'Replace a Binary, by a resource or by its content',
      description:
        'Content is protected as X-Security-Context says: without it, as nothing else is.',
      params: Id,
      headers: Update.extend(SecurityContext),
      body: AnyContent,
      response: {
        200: resourceAnswer('The new version'),
        201: resourceAnswer('The resource, where it had been deleted'),
        ...outcomes(400, 405, 412, 415, 422),
      },
    },
    handler: async (request, reply) => {
      const { id } = request.params
      const done = await update(context, request.caller, {
        type: 'Binary',
        body: () => sentBinary(request, id),
        provenance: provenanceOf(request),
        meant: { id },
        ifMatch: request.headers['if-match'],
        ifNoneMatch: request.headers['if-none-match'],
      })
      return sendWrittenAt(request, reply, context.baseUrl, done)
    },
  })
}

const FHIR_JSON = /\b(?:application\/(?:fhir\+)?json|text\/json)\b/i

/** Content comes as it is unless FHIR JSON is named (R4 2.39.5); who takes anything has not named it. */
function wantsResource(request: FastifyRequest): boolean {
  const { accept = '' } = request.headers
  const format = queryPairs(request).some(([name]) => name === '_format')
  return format || (FHIR_JSON.test(accept) && !accept.includes('text/html'))
}

/** @param id of the address, where content replaces what is there */
function sentBinary(request: FastifyRequest, id?: string): unknown {
  if (isJsonBody(request)) return fhirBody(request).value
  const context = request.headers['x-security-context']
  return {
    resourceType: 'Binary',
    ...(id === undefined ? {} : { id }),
    contentType: request.headers['content-type'],
    ...(typeof context === 'string' ? { securityContext: { reference: context } } : {}),
    data: rawBody(request).toString('base64'),
  }
}

function binaryOf(body: string): Binary {
  const parsed = parseText(body)
  if (!parsed.ok) throw new Error('A stored resource is not JSON')
  return parsed.value as Binary
}
