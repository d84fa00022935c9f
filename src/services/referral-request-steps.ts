import type { ReferralState } from '../domain/referral/referral-states.ts'
import { isReferral } from '../fhir/profiles.ts'
import type { CodeableConcept, ServiceRequest, Task } from '../fhir/r4/types.ts'
import {
  notItsMaker,
  STATUS_REASON,
  stopsBeingReferral,
  workflowFault,
} from '../fhir/referral-faults.ts'
import { isSaid, withState } from '../fhir/referral-task.ts'
import { replyCount } from '../fhir/reply-outputs.ts'
import type { Content } from './new-contents.ts'
import {
  before,
  fits,
  isAllowed,
  placeOf,
  type ReferralWork,
  rolesOf,
  stateKept,
  tasksOf,
} from './referral-work.ts'

/** What the status of a request says of its referral. */
const MEANT: Readonly<Record<string, ReferralState>> = {
  active: 'sent',
  revoked: 'cancelled',
  'entered-in-error': 'entered-in-error',
}

/** A request that is written: by the party that made it, and its Task goes along. */
export function requestStep(work: ReferralWork, content: Content): void {
  const { resource, operation, current } = content
  const at = operation.resourceAt
  const stood = before(content)
  const was = stood?.resourceType === 'ServiceRequest' && isReferral(stood) ? stood : undefined
  const request = resource?.resourceType === 'ServiceRequest' ? resource : undefined
  const [task] = tasksOf(work, placeOf(content))
  const kept = was?.status === 'draft' ? 'drafted' : 'sent'
  const state = task === undefined ? kept : stateKept(task[1])
  // That it is not deleted without its Task is seen to where anything is deleted.
  if (request === undefined) return
  if (was !== undefined && current?.partnerId !== work.partnerId)
    work.faults.push(notItsMaker(operation.at))
  else if (!isReferral(request)) work.faults.push(stopsBeingReferral(at))
  else if (was === undefined) newRequest(work, at, request)
  else if (was.status !== request.status) step(work, content, { request, task, state })
}

function newRequest(work: ReferralWork, at: string, { status }: ServiceRequest): void {
  if (status === 'active' || status === 'draft') return
  const text = 'A referral is sent as active, or draft until it is sent.'
  work.faults.push(workflowFault(`${at}.status`, 'referral-status', text))
}

interface RequestChange {
  readonly request: ServiceRequest
  readonly task: readonly [place: string, task: Task] | undefined
  readonly state: ReferralState
}

function step(work: ReferralWork, content: Content, { request, task, state }: RequestChange): void {
  const at = content.operation.resourceAt
  // A Task that was sent with it speaks for both.
  if (task !== undefined && work.sent.has(task[0])) return
  if (task !== undefined && fits(request, state)) return
  const to = MEANT[request.status]
  if (to === undefined) {
    const text = `The referrer sends a request (active), gives it up (revoked) or marks it as entered in error. It is completed with its Task, by the clinic.`
    work.faults.push(workflowFault(`${at}.status`, 'referral-status', text))
    return
  }
  const reason = reasonOf(request)
  const by = rolesOf(work, content.current?.partnerId)
  const replies = task === undefined ? 0 : replyCount(task[1])
  const isAsked = { at, ofRequest: true, from: state, to, by, replies }
  if (!isAllowed(work, { ...isAsked, hasReason: task === undefined || reason !== undefined }))
    return
  if (task === undefined) return
  const statusReason = reason === undefined ? {} : { statusReason: reason }
  work.next.set(task[0], withState({ ...task[1], ...statusReason, lastModified: work.now }, to))
}

function reasonOf({ extension = [] }: ServiceRequest): CodeableConcept | undefined {
  const found = extension.find(({ url }) => url === STATUS_REASON)?.valueCodeableConcept
  return isSaid(found) ? found : undefined
}
