import { createHash } from 'node:crypto'
import { AppError } from '../errors.ts'
import type { Caller } from '../security/access-token.ts'
import { closedNow, placesInSight } from '../storage/closed-records.ts'
import { rememberAnswer, rememberedAnswer, serialise } from '../storage/idempotency.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { narrowingSetting } from './narrowed-sight.ts'
import { publishedResource } from './published.ts'

export interface Answered {
  readonly body: string
  /** The answer of an earlier request with the same key. */
  readonly repeated: boolean
}

/** What makes a request the same as one before. */
export interface SentRequest {
  readonly idempotencyKey: string | undefined
  /** SHA-256 of all that it says. */
  readonly bodyHash: string
}

export interface Asked {
  readonly context: Context
  readonly caller: Caller
  readonly request: SentRequest
}

/** Does the work, or returns what it answered when the same key asked for it before. */
export async function once(
  tx: Tx,
  { context, caller, request }: Asked,
  work: () => Promise<string>,
): Promise<Answered> {
  const { idempotencyKey: key } = request
  if (key === undefined) return { body: await work(), repeated: false }
  const { clinicId, clientId, partnerId } = caller
  const requestHash = hashOf(request.bodyHash, caller)
  await serialise(tx, [['idempotency', clinicId, clientId, key].join(' ')])
  const before = await rememberedAnswer(tx, { clinicId, clientId, key })
  if (before !== undefined) {
    if (before.requestHash === requestHash) {
      await refuseClosed(tx, context, caller, before.answer)
      return { body: before.answer, repeated: true }
    }
    throw new AppError('business-rule', 'The Idempotency-Key was used for another request.', [
      {
        severity: 'error',
        code: 'conflict',
        expression: 'http."Idempotency-Key"',
        rule: 'idempotency-key',
        text: 'This key was used before with another body. Send a new key with a new request.',
      },
    ])
  }
  const body = await work()
  const createdAt = context.now().toISOString()
  await rememberAnswer(
    tx,
    { clinicId, clientId, key, partnerId, createdAt },
    { requestHash, answer: body },
  )
  return { body, repeated: false }
}

/** With a token that sees another part it is another request. */
function hashOf(bodyHash: string, { scopes }: Caller): string {
  const narrowed = narrowingSetting(scopes)
  return narrowed === undefined
    ? bodyHash
    : createHash('sha256').update(`${bodyHash} ${narrowed}`).digest('hex')
}

const LOCATION =
  /"location":"(?:[^"]*\/)?([A-Z][A-Za-z]{1,60})\/([A-Za-z0-9\-.]{1,64})\/_history\//g

/**
 * What was answered about a record that was closed since, or that has left what the token allows, is not said
 * again; but that a consent was taken is: it is heard while a record is closed, and may have closed it.
 */
async function refuseClosed(
  tx: Tx,
  context: Context,
  { clinicId, partnerId, scopes }: Caller,
  answer: string,
): Promise<void> {
  const isNarrowed = narrowingSetting(scopes) !== undefined
  if (partnerId === undefined && !isNarrowed) return
  const at = context.now().toISOString()
  const closed = partnerId === undefined ? [] : await closedNow(tx, clinicId, at)
  const places = [...answer.matchAll(LOCATION)]
    .map(([, type = '', id = '']) => ({ type, id }))
    .filter((place) => publishedResource(context, place) === undefined)
    .filter(({ type }) => isNarrowed || type !== 'Consent')
  const inSight = await placesInSight(tx, clinicId, places)
  const isOpen = places.every(({ type, id }) => inSight.has(`${type}/${id}`))
  if (isOpen && !closed.some((patientId) => answer.includes(patientId))) return
  throw new AppError('not-found', 'What was written by the request with this key is not there.')
}
