import { writeJson } from './decimal.ts'
import type { AnyResource } from './r4/types.ts'

export interface Stamp {
  readonly id: string
  readonly version: number
  /** ISO instant in UTC. */
  readonly updatedAt: string
}

/** The JSON that is kept and returned: id, version and time are ours, everything else as it was. */
export function stamped(resource: AnyResource, { id, version, updatedAt }: Stamp): string {
  const { resourceType, id: _sent, meta, ...rest } = resource
  return writeJson({
    resourceType,
    id,
    meta: { ...meta, versionId: String(version), lastUpdated: updatedAt },
    ...rest,
  })
}
