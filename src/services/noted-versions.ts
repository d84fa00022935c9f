import type { Caller } from '../security/access-token.ts'
import type { StoredVersion } from '../storage/resources.ts'
import { childOf } from './changes.ts'
import type { Context } from './context.ts'
import { readEntry } from './referral-record.ts'

/** The children whose past data are shown; who that is stands in the versions themselves. */
export function noteVersions(
  context: Context,
  { call }: Caller,
  versions: readonly StoredVersion[],
): void {
  for (const version of versions)
    if (version.deleted) call.touch({ type: version.type, id: version.id, did: 'read' })
    else call.concern(childOf(context, version, readEntry(version).resource))
}
