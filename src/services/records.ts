import { ownTarget, type Target } from '../fhir/literal-reference.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import { readResources } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { readEntry } from './referral-record.ts'

const placeOf = ({ type, id }: Target): string => `${type}/${id}`

/** The version, with the record that it belongs to. */
interface Belonging {
  readonly version: NewVersion
  /** The children whose records they are; the first is the one that it is kept with. */
  readonly children: readonly string[]
}

/**
 * What does not name a child but belongs to a record: where something comes from, and content that is
 * protected as something is. It is closed to a partner with the record.
 */
export async function withRecords(
  tx: Tx,
  context: Context,
  clinicId: string,
  versions: readonly NewVersion[],
): Promise<NewVersion[]> {
  const all = await recordsOf(tx, context, clinicId, versions)
  return all.map(({ version, children: [recordOf] }) =>
    recordOf === undefined ? version : { ...version, recordOf },
  )
}

/** The same, with every child whose record is told of; none for what names its child itself. */
export async function recordsOf(
  tx: Tx,
  { baseUrl }: Context,
  clinicId: string,
  versions: readonly NewVersion[],
): Promise<Belonging[]> {
  const wanted = new Map(versions.map((version) => [version, targetsOf(version, baseUrl)] as const))
  const known = new Map(
    versions.map((version) => [placeOf(version), version.search.patientId] as const),
  )
  const elsewhere = [...wanted.values()].flat().filter((target) => !known.has(placeOf(target)))
  const kept = elsewhere.length === 0 ? [] : await readResources(tx, clinicId, elsewhere)
  for (const one of kept) known.set(placeOf(one), one.patientId)
  return versions.map((version) => {
    const found = (wanted.get(version) ?? []).flatMap((one) => known.get(placeOf(one)) ?? [])
    return { version, children: [...new Set(found)] }
  })
}

function targetsOf(version: NewVersion, baseUrl: string): Target[] {
  if (version.deleted || version.search.patientId !== undefined) return []
  if (version.type === 'Provenance')
    return version.search.references
      .filter(({ path }) => path === 'target')
      .map(({ targetType, targetId }) => ({ type: targetType, id: targetId }))
  if (version.type !== 'Binary') return []
  const { resource } = readEntry(version)
  const context = resource.resourceType === 'Binary' ? resource.securityContext : undefined
  const target = ownTarget(context?.reference, baseUrl)
  return target === undefined ? [] : [target]
}
