import { AppError } from '../errors.ts'
import { childFaults } from '../fhir/child-reference.ts'
import { isForeign, ownTarget } from '../fhir/literal-reference.ts'
import { referencesIn, withReferences } from '../fhir/reference-map.ts'
import type { CreateEntry } from '../fhir/transaction-entries.ts'
import type { Caller } from '../security/access-token.ts'
import { findByIdentifiers, type Identified } from '../storage/identifiers.ts'
import { serialise } from '../storage/idempotency.ts'
import { existing, type StoredVersion } from '../storage/resources.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import type { Tx } from '../storage/transaction.ts'
import { triageOf } from './asked-referral.ts'
import type { Context } from './context.ts'
import { newVersion, versionReference } from './new-version.ts'
import type { Entry } from './referral-record.ts'

/** A resource that is about to be written, as it was read. */
export interface Written extends Entry {
  readonly stored: NewVersion
}

/** What is sent back of one version. */
export type Kept = Pick<StoredVersion, 'type' | 'id' | 'version' | 'body' | 'updatedAt'>

/** Where an entry is kept: found by its condition, or newly written. */
export interface Placed {
  readonly kept: Kept
  readonly written: Written | undefined
}

/**
 * Decides where every entry is kept, finds what exists already, and links the new ones to each other; in
 * the order of the entries.
 */
export async function place(
  tx: Tx,
  context: Context,
  caller: Caller,
  entries: readonly CreateEntry[],
): Promise<Placed[]> {
  const found = await conditionalMatches(tx, caller, entries)
  const ids = entries.map((entry) => found.get(entry)?.id ?? context.newId())
  const places = entries.map(
    ({ resource }, index) => `${resource.resourceType}/${ids[index] ?? ''}`,
  )
  const kept = keptReferences(entries, places)
  const linked = entries.map((entry) => ({
    ...entry,
    resource: withReferences(entry.resource, kept, entry.fullUrl),
  }))
  const created = new Set(places.filter((_place, index) => !hasMatch(found, entries[index])))
  await awaitTriages(tx, context, caller, { linked, created })
  const updatedAt = context.now().toISOString()
  await refuseDangling(tx, context, caller, linked, new Set(kept.values()))
  refuseOtherChildren(context, linked, places)
  return entries.map((entry, index) => {
    const id = ids[index] ?? ''
    const match = found.get(entry)
    if (match !== undefined) return { kept: match, written: undefined }
    const resource = linked[index]?.resource ?? entry.resource
    const { baseUrl } = context
    const key = { id, version: 1, partnerId: caller.partnerId, updatedAt, baseUrl }
    const stored = newVersion(resource, key)
    const written = { stored, reference: versionReference(stored), resource }
    return { kept: stored, written }
  })
}

/** Looks every condition up at once; two requests with the same condition wait for each other. */
async function conditionalMatches(
  tx: Tx,
  { clinicId, partnerId = '' }: Caller,
  entries: readonly CreateEntry[],
): Promise<ReadonlyMap<CreateEntry, Identified>> {
  const conditional = entries.flatMap((entry) =>
    entry.ifNoneExist === undefined
      ? []
      : [{ entry, type: entry.resource.resourceType, ...entry.ifNoneExist }],
  )
  if (conditional.length === 0) return new Map()
  await serialise(
    tx,
    conditional.map(({ type, system, value }) =>
      [clinicId, partnerId, type, system, value].join(' '),
    ),
  )
  const rows = await findByIdentifiers(tx, clinicId, conditional)
  return new Map(
    conditional.flatMap(({ entry, type, system, value }) => {
      const matches = rows.filter(
        (row) => row.type === type && row.system === system && row.value === value,
      )
      if (matches.length > 1)
        throw new AppError('multiple-matches', 'A conditional create is ambiguous.', [
          {
            severity: 'error',
            code: 'multiple-matches',
            expression: entry.conditionAt,
            rule: 'entry-condition',
            text: `${matches.length} resources match this condition; at most one may.`,
          },
        ])
      const [match] = matches
      return match === undefined ? [] : [[entry, match] as const]
    }),
  )
}

const hasMatch = (
  found: ReadonlyMap<CreateEntry, Identified>,
  entry: CreateEntry | undefined,
): boolean => entry !== undefined && found.has(entry)

/**
 * Waits for every triage of the children that are written about, before the time of the writing is taken:
 * so what is older than a triage was seen by it, and it can be repeated by its time.
 */
async function awaitTriages(
  tx: Tx,
  { baseUrl }: Context,
  { clinicId }: Caller,
  {
    linked,
    created,
  }: { readonly linked: readonly CreateEntry[]; readonly created: ReadonlySet<string> },
): Promise<void> {
  const children = linked.flatMap((entry) =>
    referencesIn(entry.resource, entry.resourceAt).flatMap(({ reference }) => {
      const target = ownTarget(reference, baseUrl)
      return target?.type === 'Patient' && !created.has(`Patient/${target.id}`) ? [target.id] : []
    }),
  )
  await serialise(
    tx,
    children.map((child) => triageOf(clinicId, child)),
  )
}

/** From what an entry is called in the Bundle to where it is kept. */
const keptReferences = (
  entries: readonly CreateEntry[],
  places: readonly string[],
): ReadonlyMap<string, string> =>
  new Map(
    entries.flatMap(({ fullUrl }, index) =>
      fullUrl === undefined ? [] : [[fullUrl, places[index] ?? ''] as const],
    ),
  )

function refuseOtherChildren(
  { baseUrl }: Context,
  linked: readonly CreateEntry[],
  places: readonly string[],
): void {
  const faults = childFaults(linked, places, baseUrl)
  if (faults.length > 0)
    throw new AppError('invalid-resource', 'The resources are not about one child.', faults)
}

/** Every reference to a resource of this service leads to one that the caller sees, or into the Bundle. */
export async function refuseDangling(
  tx: Tx,
  { baseUrl }: Context,
  { clinicId }: Caller,
  entries: readonly { readonly resourceAt: string; readonly resource: object }[],
  inBundle: ReadonlySet<string>,
): Promise<void> {
  const references = entries.flatMap((entry) => referencesIn(entry.resource, entry.resourceAt))
  const own = references.flatMap(({ expression, reference }) => {
    const target = ownTarget(reference, baseUrl)
    return target === undefined || inBundle.has(`${target.type}/${target.id}`)
      ? []
      : [{ expression, ...target }]
  })
  const known = await existing(tx, clinicId, own)
  const dangling = [
    ...references.filter(
      ({ reference }) =>
        !isForeign(reference, baseUrl) && ownTarget(reference, baseUrl) === undefined,
    ),
    ...own.filter(({ type, id }) => !known.has(`${type}/${id}`)),
  ]
  if (dangling.length === 0) return
  throw new AppError(
    'invalid-resource',
    'A reference leads nowhere.',
    dangling.map(({ expression }) => ({
      severity: 'error',
      code: 'not-found',
      expression,
      rule: 'reference-exists',
      text: 'This reference names neither an entry of the Bundle nor a resource that is kept here.',
    })),
  )
}
