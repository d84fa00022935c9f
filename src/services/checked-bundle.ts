import type { CivilDate } from '../domain/calendar.ts'
import { AppError, type Fault } from '../errors.ts'
import { bundleFault, isBundle, MAX_ENTRIES, profileFaultsBeside } from '../fhir/bundle-faults.ts'
import { bundleOperation } from '../fhir/bundle-operations.ts'
import type { BundleOperation, CreateOperation } from '../fhir/operations.ts'
import { bundlePatch } from '../fhir/bundle-patch.ts'
import { MAX_FAULTS } from '../fhir/inspection.ts'
import { creationFaults, isReferral, profileFaults } from '../fhir/profiles.ts'
import type { Bundle } from '../fhir/r4/types.ts'
import { sizeChartEntryFaults } from '../fhir/size-chart-entries.ts'
import { validateResource } from '../fhir/validate.ts'
import { refusalOf } from './checked-resource.ts'

/** The most referrals: each is computed before the transaction ends. */
export const MAX_REFERRALS = 10

/** A Bundle of interactions as it was sent: valid R4, of a type that is taken, not too long. */
export interface SentBundle {
  readonly type: 'transaction' | 'batch'
  readonly entries: NonNullable<Bundle['entry']>
  /** Of a batch: what R4 finds wrong in single entries, by their places. The others are done (R4 3.1.0.11). */
  readonly broken: ReadonlyMap<number, readonly Fault[]>
}

export function sentBundle(body: unknown, latestDay: CivilDate): SentBundle {
  if (!isBundle(body)) throw malformed('Bundle', 'bundle', 'A Bundle is needed here.', 'structure')
  const structure = validateResource(body)
  const broken = brokenEntries(body, structure)
  if (broken === undefined)
    throw new AppError(refusalOf(structure), 'The Bundle is not valid FHIR R4.', [
      ...structure,
      ...profileFaultsBeside(structure, body, latestDay),
    ])
  const { type, entry: entries = [] } = body
  if (type !== 'transaction' && type !== 'batch')
    throw invalid(
      'Bundle.type',
      'bundle-type',
      'A Bundle of type transaction or batch is taken here.',
      'not-supported',
    )
  if (entries.length > MAX_ENTRIES)
    throw invalid(
      'Bundle.entry',
      'bundle-size',
      `At most ${MAX_ENTRIES} entries are taken.`,
      'too-costly',
    )
  return { type, entries, broken }
}

const ENTRY = /^Bundle\.entry\[(\d+)\]/

/** Undefined where the Bundle is broken and not only entries of a batch, or where not every fault is known. */
function brokenEntries(
  body: Bundle,
  faults: readonly Fault[],
): ReadonlyMap<number, readonly Fault[]> | undefined {
  const byEntry = new Map<number, Fault[]>()
  if (faults.length === 0) return byEntry
  if (body.type !== 'batch' || faults.length > MAX_FAULTS) return undefined
  for (const fault of faults) {
    const index = ENTRY.exec(fault.expression)?.[1]
    // An invariant of the Bundle may be broken by a broken entry alone: it is asked of the others below.
    if (index === undefined && fault.code === 'invariant') continue
    if (index === undefined) return undefined
    byEntry.set(Number(index), [...(byEntry.get(Number(index)) ?? []), fault])
  }
  const whole = (body.entry ?? []).filter((_entry, index) => !byEntry.has(index))
  const isWhole = whole.length === 0 || validateResource({ ...body, entry: whole }).length === 0
  return isWhole ? byEntry : undefined
}

/** What a transaction asks for, in the order sent; throws with everything that is wrong with it. */
export function transactionOperations(
  { entries }: SentBundle,
  { baseUrl, latestDay }: { readonly baseUrl: string; readonly latestDay: CivilDate },
): BundleOperation[] {
  const faults: Fault[] = []
  const operations = entries.flatMap((entry, index) => {
    const operation = bundleOperation(entry, index, { baseUrl, patchOf: bundlePatch }, faults)
    if (operation === undefined) return []
    if ('resource' in operation)
      faults.push(...profileFaults(operation.resource, operation.resourceAt, latestDay))
    return [operation]
  })
  const creates = operations.filter((operation) => operation.kind === 'create')
  faults.push(
    ...creates.flatMap(({ resource, resourceAt }) => creationFaults(resource, resourceAt)),
    ...referralFaults(creates),
    ...sizeChartEntryFaults(creates),
  )
  if (faults.length > 0)
    throw new AppError('invalid-resource', 'The Bundle cannot be taken.', faults)
  return operations
}

function referralFaults(creates: readonly CreateOperation[]): Fault[] {
  const referrals = creates.filter(
    ({ resource }) => resource.resourceType === 'ServiceRequest' && isReferral(resource),
  )
  if (referrals.length <= MAX_REFERRALS) return []
  const text = `At most ${MAX_REFERRALS} referrals are taken at once: each is computed.`
  return [bundleFault('Bundle.entry', 'bundle-referrals', text, 'too-costly')]
}

const malformed = (...fault: Parameters<typeof bundleFault>): AppError =>
  new AppError('malformed-body', 'The Bundle cannot be read.', [bundleFault(...fault)])

const invalid = (...fault: Parameters<typeof bundleFault>): AppError =>
  new AppError('invalid-resource', 'The Bundle cannot be taken.', [bundleFault(...fault)])
