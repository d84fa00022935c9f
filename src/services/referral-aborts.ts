import type { Actor, ReferralState } from '../domain/referral/referral-states.ts'
import { clinicReference } from '../fhir/party-references.ts'
import type { CodeableConcept, Task } from '../fhir/r4/types.ts'
import { workflowFault } from '../fhir/referral-faults.ts'
import {
  isAbortTask,
  isReferralTask,
  isSaid,
  stateBefore,
  withState,
  withStateBefore,
} from '../fhir/referral-task.ts'
import { isUrgency, urgencyOf } from '../fhir/reminder-task.ts'
import { replyCount } from '../fhir/reply-outputs.ts'
import { BUSINESS_STATUS_CODES } from '../fhir/workflow-codes.ts'
import type { Content } from './new-contents.ts'
import {
  after,
  before,
  isAllowed,
  isNewReason,
  placeNamed,
  placeOf,
  type ReferralWork,
  rolesOf,
  stateKept,
  takeRequestAlong,
  tasksOf,
} from './referral-work.ts'

/** Requests to give up a referral that nobody has decided yet. */
export function openAborts(work: ReferralWork, referral: string): [place: string, abort: Task][] {
  const places = new Set([...work.kept.keys(), ...work.sent.keys()])
  return [...places].flatMap((place): [string, Task][] => {
    const task = after(work, place)
    return isAbortTask(task) &&
      task.status === 'requested' &&
      referralNamed(work, task) === referral
      ? [[place, task]]
      : []
  })
}

/** The Task of the referral that is to be given up: it is in focus itself, or its request is. */
function referralNamed(work: ReferralWork, abort: Task | undefined): string {
  const place = placeNamed(work, abort?.focus?.reference)
  const [task] = place.startsWith('ServiceRequest/') ? tasksOf(work, place) : []
  return task?.[0] ?? place
}

/** What was decided on the referral is said on the requests too. */
export function settleAborts(
  work: ReferralWork,
  aborts: readonly (readonly [place: string, abort: Task])[],
  { to, by }: { readonly to: ReferralState; readonly by: readonly Actor[] },
): void {
  for (const [place, abort] of aborts) {
    const withdrawn = by.includes('referrer') && !by.includes('clinic')
    const statusReason = { coding: [BUSINESS_STATUS_CODES[to]] }
    const refused: Partial<Task> = { status: withdrawn ? 'cancelled' : 'rejected', statusReason }
    const decided: Partial<Task> = to === 'cancelled' ? { status: 'completed' } : refused
    if (!work.sent.has(place))
      work.next.set(place, { ...abort, ...decided, lastModified: work.now })
  }
}

/**
 * A second Task that asks that a referral be given up, or what is decided about it: confirmed (completed),
 * refused (rejected) by the clinic, or withdrawn (cancelled) by the referrer.
 */
export function abortStep(work: ReferralWork, content: Content): void {
  const { resource, operation } = content
  const stood = before(content)
  const was = isAbortTask(stood) ? stood : undefined
  const task = isAbortTask(resource) ? resource : undefined
  const at = operation.resourceAt
  const place = referralNamed(work, task ?? was)
  const referral = after(work, place)
  if (!isReferralTask(referral)) {
    if (task !== undefined) work.faults.push(withoutReferral(at))
    return
  }
  if (was === undefined && task !== undefined) asks(work, content, { task, referral, place })
  else if (was !== undefined && task !== undefined && was.status !== task.status)
    decides(work, content, { was, task, referral, place })
  else if (was?.status === 'requested' && task === undefined)
    work.faults.push(
      workflowFault(operation.at, 'referral-deletion', `Withdraw it: set its status to cancelled.`),
    )
  else if (task !== undefined && referralNamed(work, was) !== place)
    work.faults.push(workflowFault(`${at}.focus`, 'abort-focus', 'The focus stays what it was.'))
  else if (was !== undefined && task?.status === 'requested')
    work.next.set(
      placeOf(content),
      withStateBefore(onWorklist(work, task, referral), stateBefore(was)),
    )
}

const withoutReferral = (at: string) =>
  workflowFault(
    `${at}.focus`,
    'abort-focus',
    'The focus is the Task of the referral that is to be given up, or its ServiceRequest. A request that has no Task is given up by its status, revoked.',
  )

interface Named {
  readonly task: Task
  readonly referral: Task
  readonly place: string
}

const reasonOf = ({ statusReason, reasonCode }: Task): CodeableConcept | undefined =>
  [statusReason, reasonCode].find(isSaid)

function asks(work: ReferralWork, content: Content, { task, referral, place }: Named): void {
  const at = content.operation.resourceAt
  if (task.status !== 'requested') {
    const text = 'A request to give up a referral is requested; the clinic decides it.'
    work.faults.push(workflowFault(`${at}.status`, 'abort-status', text))
    return
  }
  if (reasonOf(task) === undefined) {
    const text = 'Say why the referral is to be given up, in reasonCode.'
    work.faults.push(workflowFault(`${at}.reasonCode`, 'referral-reason', text))
    return
  }
  if (openAborts(work, place).some(([other]) => other !== placeOf(content))) {
    const text = 'It is asked already that this referral be given up; the clinic decides on that.'
    work.faults.push(workflowFault(`${at}.focus`, 'abort-repeated', text))
    return
  }
  const from = stateKept(referral)
  const by = rolesOf(work, work.kept.get(place)?.stored.partnerId ?? work.partnerId)
  const to = 'cancellation-requested'
  const replies = replyCount(referral)
  if (!isAllowed(work, { at, from, to, by, bySecondTask: true, hasReason: true, replies })) return
  work.next.set(placeOf(content), withStateBefore(onWorklist(work, task, referral), from))
  work.next.set(place, withState({ ...referral, lastModified: work.now }, to))
}

/** For whom it is, and as urgent as its referral, unless its sender says otherwise. */
const onWorklist = ({ clinicId }: ReferralWork, task: Task, referral: Task): Task => ({
  owner: clinicReference(clinicId),
  ...(referral.priority && { priority: referral.priority }),
  ...task,
  extension: [...(task.extension ?? []).filter((one) => !isUrgency(one)), ...urgencyOf(referral)],
})

const DECISIONS: Readonly<Record<string, Actor>> = {
  completed: 'clinic',
  rejected: 'clinic',
  cancelled: 'referrer',
  'entered-in-error': 'author',
}

function decides(
  work: ReferralWork,
  content: Content,
  { was, task, referral, place }: Named & { readonly was: Task },
): void {
  const at = content.operation.resourceAt
  const by = rolesOf(work, content.current?.partnerId)
  const decider = DECISIONS[task.status]
  if (was.status !== 'requested' || decider === undefined || !by.includes(decider)) {
    const allowed = Object.entries(DECISIONS).flatMap(([status, actor]) =>
      was.status === 'requested' && by.includes(actor) ? [status] : [],
    )
    const text = `From ${was.status} to ${task.status} by the ${by.join(', ')}: not allowed. Allowed: ${allowed.join(', ') || 'nothing'}.`
    work.faults.push(workflowFault(`${at}.status`, 'abort-status', text))
    return
  }
  if (task.status === 'rejected' && !isNewReason(was, task)) {
    const text = 'Say why the referral is not given up, in a statusReason of this decision.'
    work.faults.push(workflowFault(`${at}.statusReason`, 'referral-reason', text))
    return
  }
  const from = stateKept(referral)
  if (from !== 'cancellation-requested' || work.sent.has(place)) return
  const to = task.status === 'completed' ? 'cancelled' : stateBefore(was)
  const reason = reasonOf(task)
  const statusReason = to === 'cancelled' && reason !== undefined ? { statusReason: reason } : {}
  const next = withState({ ...referral, ...statusReason, lastModified: work.now }, to)
  const replies = replyCount(referral)
  if (!isAllowed(work, { at, from, to, by, hasReason: true, replies })) return
  work.next.set(place, next)
  const others = openAborts(work, place).filter(([other]) => other !== placeOf(content))
  settleAborts(work, others, { to, by })
  takeRequestAlong(work, { task: next, state: to, at })
}
