import type { CallOperation, ReadOperation, WriteOperation } from '../fhir/operations.ts'
import type { Handling } from '../fhir/query-reading.ts'
import type { Caller } from '../security/access-token.ts'
import type { Tx } from '../storage/transaction.ts'
import { refusedCalls } from './bundle-calls.ts'
import { answeredRead } from './bundle-reads.ts'
import { sentBundle, type SentBundle, transactionOperations } from './checked-bundle.ts'
import { batch } from './batch.ts'
import type { Context } from './context.ts'
import { latestDay } from './day.ts'
import { needsOf } from './needs.ts'
import { type Answered, once } from './once.ts'
import { responseBundle, type Returns, writtenEntry } from './response-entries.ts'
import { unitOfWork } from './unit-of-work.ts'
import { write } from './write.ts'

const ASKS: ReadonlySet<string> = new Set(['read', 'call'])

export interface BundleRequest {
  readonly body: unknown
  /** SHA-256 of the bytes that were sent. */
  readonly bodyHash: string
  readonly idempotencyKey: string | undefined
  readonly returns: Returns
  /** Of the parameters of searches among the entries. */
  readonly handling: Handling
}

/** A Bundle of interactions: a transaction, all or nothing, or a batch. @returns the response Bundle as JSON */
export function sentInteractions(
  context: Context,
  caller: Caller,
  request: BundleRequest,
): Promise<Answered> {
  const bundle = sentBundle(request.body, latestDay(context))
  return bundle.type === 'batch'
    ? batch(context, caller, { bundle, request })
    : transaction(context, caller, { bundle, request })
}

function transaction(
  context: Context,
  caller: Caller,
  { bundle, request }: { readonly bundle: SentBundle; readonly request: BundleRequest },
): Promise<Answered> {
  const { baseUrl } = context
  const operations = transactionOperations(bundle, { baseUrl, latestDay: latestDay(context) })
  const calls = operations.filter((one): one is CallOperation => one.kind === 'call')
  if (calls.length > 0) throw refusedCalls(calls)
  const needs = operations.flatMap((operation) => needsOf(operation))
  return unitOfWork(context, caller, needs, (tx) =>
    once(tx, { context, caller, request }, async () => {
      const writes = operations.filter((one): one is WriteOperation => !ASKS.has(one.kind))
      const done = new Map(
        (await write(tx, context, caller, writes)).map((one) => [one.operation.at, one]),
      )
      const entries: string[] = []
      for (const operation of operations) {
        const one = done.get(operation.at)
        if (one !== undefined) entries.push(writtenEntry(context, caller, one, request.returns))
        // Reads see what the entries before them wrote, whatever the order sent.
        else if (operation.kind === 'read') entries.push(await read(tx, operation))
      }
      return responseBundle('transaction', entries)
    }),
  )

  function read(tx: Tx, operation: ReadOperation): Promise<string> {
    return answeredRead(tx, context, caller, { operation, handling: request.handling })
  }
}
