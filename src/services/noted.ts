import type { AuditedThing } from '../fhir/audit-record.ts'
import type { Caller } from '../security/access-token.ts'
import type { Touched } from '../security/call.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import type { StoredVersion } from '../storage/resources.ts'

// What a call does, noted for its audit record.

export function noteWritten({ call }: Caller, versions: readonly NewVersion[]): void {
  for (const version of versions) call.touch(writtenThing(version), version.search.patientId)
}

const writtenThing = ({ type, id, version, deleted }: NewVersion): Touched => ({
  type,
  id,
  version,
  did: deleted ? 'deleted' : version === 1 ? 'created' : 'updated',
})

/** What was touched, as the log has it. */
export const auditedThings = (touched: readonly Touched[]): AuditedThing[] =>
  touched.map(({ type, id, version, did }) => ({ ref: `${type}/${id}`, version, did }))

/** The same of what the exchange writes by itself. */
export const auditedVersions = (versions: readonly NewVersion[]): AuditedThing[] =>
  auditedThings(versions.map(writtenThing))

/** The children whose data are on a page of results; which resources is not kept. */
export function noteShown({ call }: Caller, shown: readonly StoredVersion[]): void {
  for (const { type, id, patientId } of shown) call.concern(type === 'Patient' ? id : patientId)
}
