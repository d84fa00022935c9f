import {
  REFERRAL_STATES,
  type ReferralState,
  type TaskStatus,
} from '../domain/referral/referral-states.ts'
import { REFERRAL_STEPS } from '../domain/referral/referral-steps.ts'
import { statesOfTask } from '../domain/referral/transition.ts'
import type { CodeableConcept, Resource, Task } from './r4/types.ts'
import { hasCode } from './reading.ts'
import {
  BUSINESS_STATUS_CODES,
  GUIDE_CODES,
  TASK_CODES,
  TASK_DETAIL_CODES,
} from './workflow-codes.ts'

export const isReferralTask = (resource: Resource | undefined): resource is Task =>
  resource?.resourceType === 'Task' && hasCode(resource.code, TASK_CODES.referral)

/** Does a Task ask that another one be given up? */
export const isAbortTask = (resource: Resource | undefined): resource is Task =>
  resource?.resourceType === 'Task' && hasCode(resource.code, TASK_CODES.abort)

/** The states that a business status names, in our codes or in those of the open guide. */
const namedStates = (status: CodeableConcept | undefined): readonly ReferralState[] => {
  const ours = REFERRAL_STATES.filter((state) => hasCode(status, BUSINESS_STATUS_CODES[state]))
  if (ours.length > 0) return ours
  return REFERRAL_STATES.filter((state) => {
    const code = GUIDE_CODES[state]
    return code !== undefined && hasCode(status, code)
  })
}

/**
 * Where a referral stands by its Task. The status alone says it, but for work in progress, whose business
 * status must, and for what was received, which waits for information only when that is said.
 *
 * @returns undefined for a status that no referral has, and for work in progress of which nobody says how far
 */
export function stateOfTask({ status, businessStatus }: Task): ReferralState | undefined {
  const possible = statesOfTask(status)
  const named = namedStates(businessStatus).filter((state) => possible.includes(state))
  if (named[0] !== undefined) return named[0]
  return status === 'in-progress' ? undefined : possible[0]
}

/** Does a business status name a state that a Task of this status cannot be in? */
export const contradicts = ({ status, businessStatus }: Task): boolean => {
  const named = namedStates(businessStatus)
  return named.length > 0 && !named.some((state) => statesOfTask(status).includes(state))
}

/** What a business status of ours looks like: our code, and that of the open guide where it has one. */
export function businessStatusOf(state: ReferralState): CodeableConcept {
  const guide = GUIDE_CODES[state]
  return { coding: [BUSINESS_STATUS_CODES[state], ...(guide === undefined ? [] : [guide])] }
}

/** The Task as it stands in a state; a text beside the codes is kept. */
export function withState(task: Task, state: ReferralState): Task {
  const status: TaskStatus = REFERRAL_STEPS[state].task
  const { text } = task.businessStatus ?? {}
  const isNamed = hasCode(task.businessStatus, BUSINESS_STATUS_CODES[state])
  return {
    ...task,
    status,
    businessStatus: {
      ...businessStatusOf(state),
      ...(text === undefined || !isNamed ? {} : { text }),
    },
  }
}

export const isSaid = (concept: CodeableConcept | undefined): boolean =>
  (concept?.text?.trim() ?? '') !== '' || (concept?.coding?.length ?? 0) > 0

const isStateBefore = ({ type }: { readonly type: CodeableConcept }): boolean =>
  hasCode(type, TASK_DETAIL_CODES.stateBefore)

/** A request to give up, with where the referral stood when it came; what its sender says of that is dropped. */
export const withStateBefore = (abort: Task, state: ReferralState): Task => ({
  ...abort,
  input: [
    ...(abort.input ?? []).filter((one) => !isStateBefore(one)),
    {
      type: { coding: [TASK_DETAIL_CODES.stateBefore] },
      valueCodeableConcept: { coding: [BUSINESS_STATUS_CODES[state]] },
    },
  ],
})

/** Where a referral stood before it was asked to give it up. */
export const stateBefore = ({ input = [] }: Task): ReferralState =>
  input.filter(isStateBefore).flatMap((one) => namedStates(one.valueCodeableConcept))[0] ??
  'scheduled'
