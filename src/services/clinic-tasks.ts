import { isDeepStrictEqual } from 'node:util'
import { AppError, type Fault } from '../errors.ts'
import { askedLinks, isInformationRequest, isOpenRequest } from '../fhir/information-task.ts'
import type { Task } from '../fhir/r4/types.ts'
import { workflowFault } from '../fhir/referral-faults.ts'
import { isAbortTask, isReferralTask } from '../fhir/referral-task.ts'
import { isReminder, urgencyOf } from '../fhir/reminder-task.ts'
import type { Caller } from '../security/access-token.ts'
import type { Content } from './new-contents.ts'
import { before, isNewReason } from './referral-work.ts'
import { forStaff } from './staff-only.ts'

/**
 * The Tasks beside a referral that are the clinic's: its reminders, which no partner writes, and what it asks of a
 * partner, who may take that on, refuse it with a reason and answer it, but neither closes nor rewrites it.
 *
 * @throws what of the contents is against that
 */
export function refuseClinicTasks({ partnerId }: Caller, contents: readonly Content[]): void {
  const tasks = contents.filter(
    ({ operation: { type }, does }) => type === 'Task' && does !== 'nothing',
  )
  if (partnerId !== undefined) refuseStaffs(tasks)
  const faults = tasks.flatMap((content) => {
    const was = before(content)
    if (partnerId !== undefined && isOwnUrgency(content))
      return [workflowFault(`${content.operation.resourceAt}.extension`, 'urgency', URGENCY)]
    if (was === undefined || !isInformationRequest(was)) return []
    const asked = { was, content }
    return [...(partnerId === undefined ? [] : partnerFaults(asked)), ...reasonFaults(asked)]
  })
  if (faults.length > 0)
    throw new AppError('business-rule', 'The request for information cannot be changed so.', faults)
}

const URGENCY = 'The urgency of a referral is computed by this service. Leave it out.'

/** Does a partner give a Task of its own a place on the worklist? On those of a referral the service sets it. */
function isOwnUrgency(content: Content): boolean {
  const { resource } = content
  if (resource?.resourceType !== 'Task') return false
  if (isReferralTask(resource) || isAbortTask(resource)) return false
  const was = before(content)
  const stood = was?.resourceType === 'Task' ? urgencyOf(was) : []
  const sent = urgencyOf(resource)
  return sent.length > 0 && !isDeepStrictEqual(sent, stood)
}

/** A partner reads no reminder, and its copy of a request would ask somebody in the clinic's name. */
function refuseStaffs(tasks: readonly Content[]): void {
  const texts = tasks.flatMap((content) => {
    const was = before(content)
    const { resource } = content
    if (isReminder(was) || isReminder(resource))
      return ['A Task with code reminder is raised by this service and closed by staff.']
    const isAsked = resource !== undefined && isInformationRequest(resource)
    return isAsked && (was === undefined || !isInformationRequest(was))
      ? ['A Task with code information-request is made by this service or by staff.']
      : []
  })
  if (texts.length > 0) throw forStaff('This is written by the clinic itself.', ...new Set(texts))
}

interface Asked {
  readonly was: Task
  readonly content: Content
}

const RULE = 'information-request'

/** What its partner may make of an open request; the service completes it when all has come. */
const PARTNER_STATUSES: readonly Task['status'][] = [
  'received',
  'accepted',
  'in-progress',
  'on-hold',
  'rejected',
  'failed',
]

/** What a request asks, of whom and until when. */
const ASKED = [
  'code',
  'input',
  'owner',
  'requester',
  'focus',
  'for',
  'basedOn',
  'partOf',
  'reasonCode',
  'reasonReference',
  'intent',
  'priority',
  'restriction',
  'description',
  'authoredOn',
  'extension',
  'modifierExtension',
] as const

function partnerFaults({ was, content: { resource, operation } }: Asked): Fault[] {
  const at = operation.resourceAt
  if (resource?.resourceType !== 'Task') {
    const text =
      'A request for information is not deleted. Answer it, or set it to rejected with a statusReason.'
    return [workflowFault(operation.at, RULE, text)]
  }
  const changed = ASKED.filter((name) => !isDeepStrictEqual(was[name], resource[name]))
  const isKept = (was.output ?? []).every((one) =>
    resource.output?.some((other) => isDeepStrictEqual(one, other)),
  )
  return [
    ...changed.map((name) =>
      workflowFault(
        `${at}.${name}`,
        RULE,
        'What the clinic asks stays as it is. Answer it, or set it to rejected with a statusReason.',
      ),
    ),
    ...(isKept
      ? []
      : [workflowFault(`${at}.output`, RULE, 'What was sent stays told; add to it.')]),
    ...statusFaults(was, resource, at),
  ]
}

function statusFaults(was: Task, { status }: Task, at: string): Fault[] {
  if (was.status === status) return []
  const isOpen: boolean = isOpenRequest(was)
  // Whether what a person asks for in words has come, the partner says.
  const isInWords = askedLinks(was).size === 0
  if (isOpen && (PARTNER_STATUSES.includes(status) || (isInWords && status === 'completed')))
    return []
  const text = isOpen
    ? `From ${was.status} to ${status} by the partner that is asked: not allowed. Allowed: ${PARTNER_STATUSES.join(', ')}. The service completes it once all that it asks for has come.`
    : `It is ${was.status} and stays so.`
  return [workflowFault(`${at}.status`, RULE, text)]
}

const WITH_REASON: readonly Task['status'][] = ['rejected', 'failed', 'cancelled', 'on-hold']

/** Whoever does not answer, or does not want the answer any more, says why. */
function reasonFaults({ was, content: { resource, operation } }: Asked): Fault[] {
  if (resource?.resourceType !== 'Task' || resource.status === was.status) return []
  if (!WITH_REASON.includes(resource.status) || isNewReason(was, resource)) return []
  const text = `Say why it is ${resource.status}, in a statusReason of this step.`
  return [
    { ...workflowFault(`${operation.resourceAt}.statusReason`, RULE, text), code: 'required' },
  ]
}
