import { AppError, type Fault } from '../errors.ts'
import { bundleFault } from '../fhir/bundle-faults.ts'
import { bundlePatch } from '../fhir/bundle-patch.ts'
import { bundleOperation, placesInBundle } from '../fhir/bundle-operations.ts'
import { validationOf } from '../fhir/bundle-questions.ts'
import type { BundleOperation } from '../fhir/operations.ts'
import { profileFaults } from '../fhir/profiles.ts'
import type { Caller } from '../security/access-token.ts'
import { answeredCall } from './bundle-calls.ts'
import { answeredRead } from './bundle-reads.ts'
import type { SentBundle } from './checked-bundle.ts'
import { refusalOf } from './checked-resource.ts'
import { conditionalReferenceFaults } from './conditional-references.ts'
import type { Context } from './context.ts'
import { latestDay } from './day.ts'
import { needsOf } from './needs.ts'
import { type Answered, once } from './once.ts'
import { failedEntry, responseBundle, writtenEntry } from './response-entries.ts'
import { refuseAlone } from './single-writes.ts'
import type { BundleRequest } from './transaction.ts'
import { unitOfWork } from './unit-of-work.ts'
import { write } from './write.ts'

/** R4 3.1.0.11.2: the order in which interactions are done, whatever the order sent. */
const ORDER = { delete: 0, create: 1, update: 2, patch: 2, read: 3, call: 3 } as const

interface Entry {
  readonly index: number
  /** What it asks for, or why it cannot be asked so. */
  readonly operation: BundleOperation | AppError
}

/** Interactions that have nothing to do with each other; each succeeds or fails alone. */
export async function batch(
  context: Context,
  caller: Caller,
  { bundle, request }: { readonly bundle: SentBundle; readonly request: BundleRequest },
): Promise<Answered> {
  const read = bundle.entries.map((_entry, index) => entryOf(context, bundle, index))
  const late = read.filter(isCall).slice(MAX_CALLS)
  const entries = read.map((entry) => (late.includes(entry) ? tooCostly(entry) : entry))
  const answers = new Map<number, string>()
  let repeated = entries.length > 0
  for (const { index, operation } of entries.toSorted((a, b) => rank(a) - rank(b)))
    try {
      if (operation instanceof AppError) throw operation
      const key = request.idempotencyKey
      const own = { ...request, idempotencyKey: key === undefined ? key : `${key}#${index}` }
      const answer = await answered(context, caller, operation, own)
      repeated &&= answer.repeated
      answers.set(index, answer.body)
    } catch (error) {
      repeated = false
      caller.call.refusePart()
      answers.set(index, failedEntry(error))
    }
  const inOrder = entries.map(({ index }) => answers.get(index) ?? '')
  return { body: responseBundle('batch', inOrder), repeated }
}

/** Some are computed from a whole record. */
export const MAX_CALLS = 50

const isCall = ({ operation }: Entry): boolean =>
  !(operation instanceof AppError) && operation.kind === 'call'

const tooCostly = ({ index }: Entry): Entry => ({
  index,
  operation: new AppError('invalid-request', 'The entry cannot be answered.', [
    bundleFault(
      `Bundle.entry[${index}]`,
      'bundle-calls',
      `At most ${MAX_CALLS} operations are called in one batch.`,
      'too-costly',
    ),
  ]),
})

const rank = ({ operation }: Entry): number =>
  operation instanceof AppError ? 0 : ORDER[operation.kind]

function entryOf(context: Context, { entries, broken }: SentBundle, index: number): Entry {
  const { baseUrl } = context
  const refused = broken.get(index)
  if (refused !== undefined) return brokenEntry(context, { entry: entries[index], index, refused })
  const faults: Fault[] = []
  const entry = entries[index]
  const operation =
    entry === undefined
      ? undefined
      : bundleOperation(entry, index, { baseUrl, patchOf: bundlePatch }, faults)
  if (operation !== undefined && 'resource' in operation) {
    const { resource, resourceAt } = operation
    faults.push(
      ...profileFaults(resource, resourceAt, latestDay(context)),
      ...conditionalReferenceFaults(resource, resourceAt),
    )
  }
  if (operation !== undefined && faults.length === 0) return { index, operation }
  return {
    index,
    operation: new AppError('invalid-resource', 'The entry cannot be taken.', faults),
  }
}

/** A resource that is no valid one may still be asked about. */
function brokenEntry(
  { baseUrl }: Context,
  {
    entry,
    index,
    refused,
  }: { readonly entry: unknown; readonly index: number; readonly refused: readonly Fault[] },
): Entry {
  const { at, resourceAt } = placesInBundle(index)
  const validation = refused.every(({ expression }) => expression.startsWith(resourceAt))
    ? validationOf(entry, { at, baseUrl })
    : undefined
  const text = 'The entry is not valid FHIR R4.'
  return { index, operation: validation ?? new AppError(refusalOf(refused), text, refused) }
}

async function answered(
  context: Context,
  caller: Caller,
  operation: BundleOperation,
  request: BundleRequest,
): Promise<Answered> {
  if (operation.kind === 'call')
    return { body: await answeredCall(context, caller, operation), repeated: false }
  return unitOfWork(context, caller, needsOf(operation), async (tx) => {
    if (operation.kind === 'read')
      return {
        body: await answeredRead(tx, context, caller, { operation, handling: request.handling }),
        repeated: false,
      }
    refuseAlone(operation)
    return once(tx, { context, caller, request }, async () => {
      const [done] = await write(tx, context, caller, [operation])
      if (done === undefined) throw new Error('An interaction was not done')
      return writtenEntry(context, caller, done, request.returns)
    })
  })
}
