import { isDeepStrictEqual } from 'node:util'
import type { Actor, ReferralState, RequestStatus } from '../domain/referral/referral-states.ts'
import { REFERRAL_STEPS } from '../domain/referral/referral-steps.ts'
import { statesOfTask, transitionDecision } from '../domain/referral/transition.ts'
import type { Fault } from '../errors.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import type { Resource, ServiceRequest, Task } from '../fhir/r4/types.ts'
import { workflowFault, stepFault } from '../fhir/referral-faults.ts'
import { isReferralTask, isSaid, stateOfTask } from '../fhir/referral-task.ts'
import type { Content } from './new-contents.ts'
import { type Entry, readEntry } from './referral-record.ts'

/** What is written about referrals in one request, and what stands in the record of their children. */
export interface ReferralWork {
  readonly baseUrl: string
  readonly clinicId: string
  readonly partnerId: string | undefined
  /** ISO instant. */
  readonly now: string
  /** What was sent, by place. */
  readonly sent: ReadonlyMap<string, Content>
  /** Tasks and requests of the children that are written about, as they stand, by place. */
  readonly kept: ReadonlyMap<string, Entry>
  /** What will be kept, by place: what was sent, and what goes along with it. */
  readonly next: Map<string, Resource>
  readonly faults: Fault[]
}

export const placeOf = ({ operation, id }: Content): string => `${operation.type}/${id}`

/** What stands before a write; none of a create. */
export function before({ current }: Content): Resource | undefined {
  return current === undefined || current.deleted ? undefined : readEntry(current).resource
}

export const after = ({ next, kept, sent }: ReferralWork, place: string): Resource | undefined =>
  next.get(place) ?? (sent.has(place) ? sent.get(place)?.resource : kept.get(place)?.resource)

export const placeNamed = (
  { baseUrl }: Pick<ReferralWork, 'baseUrl'>,
  reference: string | undefined,
): string => {
  const target = ownTarget(reference, baseUrl)
  return target === undefined ? '' : `${target.type}/${target.id}`
}

/** The Tasks of a request, with their places; what is deleted meanwhile is none. */
export function tasksOf(work: ReferralWork, request: string): [place: string, task: Task][] {
  const places = new Set([...work.kept.keys(), ...work.sent.keys()])
  return [...places].flatMap((place): [string, Task][] => {
    const task = after(work, place)
    return isReferralTask(task) && placeNamed(work, task.focus?.reference) === request
      ? [[place, task]]
      : []
  })
}

/**
 * What a caller is to a referral. A partner sees none but its own; what the clinic itself took down has no
 * other referrer than the clinic.
 */
export function rolesOf(
  { partnerId }: Pick<ReferralWork, 'partnerId'>,
  owner: string | undefined,
): readonly Actor[] {
  if (partnerId !== undefined) return ['referrer', 'author']
  return owner === undefined ? ['clinic', 'referrer', 'author'] : ['clinic']
}

/** Does a Task give a reason for what is done now? One that stood there before is that of another step. */
export const isNewReason = (was: Task, task: Task): boolean =>
  isSaid(task.statusReason) && !isDeepStrictEqual(was.statusReason, task.statusReason)

/** Where a kept Task stands; of one that came in before it said so, as far as its status tells. */
export const stateKept = (task: Task): ReferralState =>
  stateOfTask(task) ?? statesOfTask(task.status)[0] ?? 'sent'

export interface AskedStep {
  readonly at: string
  /** Is the ServiceRequest what was sent, and not its Task? */
  readonly ofRequest?: boolean
  readonly from: ReferralState
  readonly to: ReferralState
  readonly by: readonly Actor[]
  readonly bySecondTask?: boolean
  readonly hasReason: boolean
  readonly replies: number
}

/** Notes why a step cannot be taken, if so. */
export function isAllowed(work: ReferralWork, asked: AskedStep): boolean {
  const decision = transitionDecision({ bySecondTask: false, ...asked })
  if (decision.allowed) return true
  const { because, next } = decision
  work.faults.push(stepFault({ ...asked, because, next }))
  return false
}

const isOneOf = (status: string, statuses: readonly RequestStatus[]): boolean =>
  statuses.some((one) => one === status)

/** Does a request fit a state of its referral? */
export const fits = ({ status }: ServiceRequest, state: ReferralState): boolean =>
  isOneOf(status, REFERRAL_STEPS[state].request)

/** Takes the request of a Task along to where the Task goes. */
export function takeRequestAlong(
  work: ReferralWork,
  { task, state, at }: { readonly task: Task; readonly state: ReferralState; readonly at: string },
): void {
  const place = placeNamed(work, task.focus?.reference)
  const request = after(work, place)
  if (request?.resourceType !== 'ServiceRequest' || fits(request, state)) return
  const { request: statuses } = REFERRAL_STEPS[state]
  const own = work.sent.get(place)
  const [status] = statuses
  if (own?.resource === undefined && status !== undefined) {
    work.next.set(place, { ...request, status })
    return
  }
  const text = `With a Task that is ${state} the ServiceRequest is ${statuses.join(' or ')}.`
  work.faults.push(
    workflowFault(`${own?.operation.resourceAt ?? at}.status`, 'referral-together', text),
  )
}
