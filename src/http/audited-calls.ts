import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { Readable } from 'node:stream'
import { AppError } from '../errors.ts'
import { toOutcome } from '../fhir/outcome.ts'
import type { Identity } from '../security/access-token.ts'
import { Call, type CallFacts } from '../security/call.ts'
import { recordOf } from '../services/call-record.ts'
import { claimedClinics } from '../services/claimed-clinic.ts'
import type { Context } from '../services/context.ts'
import { bearerIn } from './authenticate.ts'
import { FHIR_JSON, RETRY_S, traceOf } from './error-handler.ts'
import { formPairs } from './fhir-body.ts'
import { interactionOf } from './interaction.ts'

declare module 'fastify' {
  interface FastifyRequest {
    /** What this request does, for the audit. */
    call: Call | null
    identity: Identity | null
  }
}

/** Codes of v3-PurposeOfUse that a caller may state in `Purpose-Of-Use`. */
export const PURPOSES: ReadonlySet<string> = new Set([
  'TREAT',
  'ETREAT',
  'BTG',
  'HPAYMT',
  'HOPERAT',
  'PATRQT',
  'FAMRQT',
  'PUBHLTH',
  'HSYSADMIN',
])

/**
 * Everything below this instance is recorded, allowed or refused: what changes something in its own
 * transaction, all else durably before the answer leaves. Without a record there is no answer.
 */
export function installAudit(app: FastifyInstance, context: Context): void {
  const clinicOf = claimedClinics(context)
  app.decorateRequest('call', null)
  app.decorateRequest('identity', null)
  app.addHook('onSend', async (request, reply, payload) => {
    const { call } = request
    if (call === null || (call.isRecorded && reply.statusCode < 400)) return payload
    try {
      const clinicId = request.identity?.clinicId ?? (await clinicOf(bearerIn(request)))
      await recordAnswer({ context, clinicId, call }, request, reply)
      return payload
    } catch (error) {
      request.log.error({ err: traceOf(error) }, 'a call could not be recorded')
      if (payload instanceof Readable) payload.destroy()
      return unrecorded(reply)
    }
  })
}

/** The record of a request begins. Throws when it states a purpose that there is not. */
export function beginCall(request: FastifyRequest, { baseUrl }: Context): Call {
  const purpose = [request.headers['purpose-of-use'] ?? []].flat()[0]
  const known = purpose !== undefined && PURPOSES.has(purpose) ? purpose : undefined
  const call = new Call({ ...factsOf(request, known), server: baseUrl })
  request.call = call
  if (purpose !== undefined && known === undefined)
    throw new AppError('invalid-request', 'The purpose of use is not known.', [
      {
        severity: 'error',
        code: 'code-invalid',
        expression: 'http."Purpose-Of-Use"',
        rule: 'purpose-of-use',
        text: `Purpose-Of-Use is one of ${[...PURPOSES].join(', ')}.`,
      },
    ])
  return call
}

function factsOf(request: FastifyRequest, purpose: string | undefined): CallFacts {
  const { url } = request
  const done = interactionOf(request)
  return {
    ...done,
    request: request.id,
    address: request.ip,
    ...(done.interaction === 'search' ? { searched: searchedIn(url) } : {}),
    query: url.includes('?') ? url.slice(url.indexOf('?') + 1) : '',
    purpose,
    headOnly: request.method === 'HEAD',
  }
}

/** A query says little without what was searched by it. */
const searchedIn = (url: string): string =>
  (url.split('?', 1)[0] ?? '').replace(/^\/(?:fhir\/?)?/, '')

async function recordAnswer(
  {
    context: { audit },
    clinicId,
    call,
  }: { readonly context: Context; readonly clinicId: string; readonly call: Call },
  request: FastifyRequest,
  { statusCode }: FastifyReply,
): Promise<void> {
  const { identity } = request
  const refused = statusCode >= 400 || call.isPartlyRefused
  await audit.record(
    clinicId,
    recordOf(
      { ...identity, call },
      {
        outcome: statusCode >= 500 ? 8 : refused ? 4 : 0,
        status: statusCode,
        form: new URLSearchParams(
          formPairs(request).map(([name, value]): [string, string] => [name, value]),
        ).toString(),
      },
    ),
  )
}

function unrecorded(reply: FastifyReply): string {
  const { status, outcome } = toOutcome(
    new AppError('unavailable', 'The call could not be recorded, so it is not answered.'),
  )
  for (const name of ['etag', 'last-modified', 'location', 'content-length'])
    reply.removeHeader(name)
  reply.status(status).type(FHIR_JSON).header('retry-after', String(RETRY_S))
  return JSON.stringify(outcome)
}
