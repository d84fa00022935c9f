import { AppError } from '../errors.ts'
import type { Caller } from '../security/access-token.ts'
import { closedNow, placesInSight } from '../storage/closed-records.ts'
import { rememberAnswer, rememberedAnswer, serialise } from '../storage/idempotency.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'

export interface Answered {
  readonly body: string
  /** The answer of an earlier request with the same key. */
  readonly repeated: boolean
}

interface Request {
  readonly context: Context
  readonly caller: Caller
  readonly request: { readonly idempotencyKey: string | undefined; readonly bodyHash: string }
}

/** Does the work, or returns what it answered when the same key asked for it before. */
export async function once(
  tx: Tx,
  { context, caller, request }: Request,
  work: () => Promise<string>,
): Promise<Answered> {
  const { idempotencyKey: key, bodyHash } = request
  if (key === undefined) return { body: await work(), repeated: false }
  const { clinicId, clientId, partnerId } = caller
  await serialise(tx, [['idempotency', clinicId, clientId, key].join(' ')])
  const before = await rememberedAnswer(tx, { clinicId, clientId, key })
  if (before !== undefined) {
    if (before.requestHash === bodyHash) {
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
    { requestHash: bodyHash, answer: body },
  )
  return { body, repeated: false }
}

const LOCATION =
  /"location":"(?:[^"]*\/)?([A-Z][A-Za-z]{1,60})\/([A-Za-z0-9\-.]{1,64})\/_history\//g

/** What was answered about a child whose record has been closed to the partner since is not said again. */
async function refuseClosed(
  tx: Tx,
  { now }: Context,
  { clinicId, partnerId }: Caller,
  answer: string,
): Promise<void> {
  if (partnerId === undefined) return
  const closed = await closedNow(tx, clinicId, now().toISOString())
  const places = [...answer.matchAll(LOCATION)].map(([, type = '', id = '']) => ({ type, id }))
  const inSight = await placesInSight(tx, clinicId, places)
  const isOpen = places.every(({ type, id }) => inSight.has(`${type}/${id}`))
  if (isOpen && !closed.some((patientId) => answer.includes(patientId))) return
  throw new AppError('not-found', 'What was written by the request with this key is not there.')
}
