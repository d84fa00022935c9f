import type { Fault } from '../errors.ts'
import { EXCHANGE_CODES } from './codes.ts'
import { ownTarget } from './literal-reference.ts'
import { profileFault } from './observation-profile.ts'
import { isReferral } from './profiles.ts'
import type { Resource } from './r4/types.ts'
import { hasCode } from './reading.ts'
import { kindsOf } from './to-domain.ts'

interface Linked {
  readonly resourceAt: string
  readonly resource: Resource
}

/** Where a resource that triage reads names its child; undefined for one that it does not read. */
function childOf(resource: Resource): { path: string; reference: string | undefined } | undefined {
  if (resource.resourceType === 'Task')
    return hasCode(resource.code, EXCHANGE_CODES.referral)
      ? { path: 'for', reference: resource.for?.reference }
      : undefined
  if (resource.resourceType === 'ServiceRequest')
    return isReferral(resource)
      ? { path: 'subject', reference: resource.subject.reference }
      : undefined
  if (resource.resourceType === 'Observation')
    return kindsOf(resource).length > 0
      ? { path: 'subject', reference: resource.subject?.reference }
      : undefined
  if (resource.resourceType === 'Condition' || resource.resourceType === 'DeviceUseStatement')
    return { path: 'subject', reference: resource.subject.reference }
  return undefined
}

/**
 * Facts about a child that is not kept here would be stored and never read: an exclusion would vanish.
 *
 * @param linked resources whose references into their Bundle are already replaced
 */
export const childFaults = (linked: readonly Linked[], baseUrl: string): Fault[] =>
  linked.flatMap(({ resource, resourceAt }) => {
    const child = childOf(resource)
    return child === undefined || ownTarget(child.reference, baseUrl)?.type === 'Patient'
      ? []
      : [
          profileFault(
            `${resourceAt}.${child.path}.reference`,
            'child-reference',
            'A Patient that is kept here is needed.',
          ),
        ]
  })
