import { AppError, type Fault } from '../errors.ts'
import type { Resource } from '../fhir/r4/types.ts'
import { NO_SEARCH_VALUES } from '../fhir/search-index.ts'
import type { Caller } from '../security/access-token.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import type { StoredVersion } from '../storage/resources.ts'
import type { Context } from './context.ts'
import type { Change } from './intake-triage.ts'
import type { Content } from './new-contents.ts'
import { newVersion, versionReference } from './new-version.ts'
import { readEntry } from './referral-record.ts'

/** A write, as far as what it changes is told by it. */
type Writing = Pick<Content, 'id' | 'does' | 'current' | 'resource' | 'forPartner'> & {
  readonly operation: Pick<Content['operation'], 'type' | 'resourceAt'>
}

/** What is about to be written, and what stood there before; in the order of the writes. */
export function changesOf(
  context: Context,
  { partnerId }: Caller,
  contents: readonly Writing[],
): Change[] {
  const updatedAt = context.now().toISOString()
  const changes = contents.flatMap((content): Change[] => {
    const { id, does, current, resource, operation } = content
    if (does === 'nothing') return []
    const before = current === undefined || current.deleted ? undefined : readEntry(current)
    const owner = current === undefined ? (partnerId ?? content.forPartner) : current.partnerId
    const key = { id, version: (current?.version ?? 0) + 1, partnerId: owner, updatedAt }
    // What was deleted stays about its child too, should it be written again.
    const child =
      before === undefined ? current?.patientId : childOf(context, before.stored, before.resource)
    const stored =
      resource === undefined
        ? deletion(operation.type, key, child)
        : newVersion(resource, { ...key, baseUrl: context.baseUrl })
    const written = { stored, reference: versionReference(stored), resource }
    return [{ resourceAt: operation.resourceAt, before, childBefore: child, written }]
  })
  refuseMovedChildren(changes)
  return changes
}

/** The child stays named, so that the record of an earlier day still finds what was deleted since. */
const deletion = (
  type: string,
  key: Pick<StoredVersion, 'id' | 'version' | 'partnerId' | 'updatedAt'>,
  child: string | undefined,
): NewVersion => ({
  ...key,
  type,
  deleted: true,
  body: '',
  search: { ...NO_SEARCH_VALUES, ...(child === undefined ? {} : { patientId: child }) },
})

/** The child that a kept version is about. */
export const childOf = (
  { baseUrl }: Context,
  { id, version, partnerId, updatedAt }: StoredVersion,
  resource: Resource,
): string | undefined =>
  newVersion(resource, { id, version, partnerId, updatedAt, baseUrl }).search.patientId

/** A fact that went to the wrong child is deleted there and sent anew: its history is one child's. */
function refuseMovedChildren(changes: readonly Change[]): void {
  const faults = changes.flatMap(({ childBefore, written, resourceAt }): Fault[] => {
    const after = written.stored.search.patientId
    if (written.stored.deleted || childBefore === undefined || childBefore === after) return []
    const text =
      'A resource stays about the child that it was about. Delete it, or mark it as entered in error, and create it anew.'
    return [
      {
        severity: 'error',
        code: 'business-rule',
        expression: resourceAt,
        rule: 'child-moved',
        text,
      },
    ]
  })
  if (faults.length > 0) throw new AppError('business-rule', 'The child cannot be changed.', faults)
}
