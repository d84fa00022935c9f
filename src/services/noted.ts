import type { Caller } from '../security/access-token.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import type { StoredVersion } from '../storage/resources.ts'

// What a call does, noted for its audit record.

export function noteWritten({ call }: Caller, versions: readonly NewVersion[]): void {
  for (const { type, id, version, deleted, search } of versions)
    call.touch(
      { type, id, version, did: deleted ? 'deleted' : version === 1 ? 'created' : 'updated' },
      search.patientId,
    )
}

/** The children whose data are on a page of results; which resources is not kept. */
export function noteShown({ call }: Caller, shown: readonly StoredVersion[]): void {
  for (const { type, id, patientId } of shown) call.concern(type === 'Patient' ? id : patientId)
}
