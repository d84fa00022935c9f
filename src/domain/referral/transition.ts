import {
  type Actor,
  REFERRAL_STATES,
  type ReferralState,
  type TaskStatus,
} from './referral-states.ts'
import { type Demand, REFERRAL_STEPS, type Step } from './referral-steps.ts'

export interface Transition {
  readonly from: ReferralState
  readonly to: ReferralState
  /** Everything that whoever asks is to this referral. */
  readonly by: readonly Actor[]
  /** Is it asked for by a second Task, or by changing the Task of the referral? */
  readonly bySecondTask: boolean
  readonly hasReason: boolean
  /** Replies to the referrer that the Task has after the step. */
  readonly replies: number
}

/** Why a step is not taken. */
export type Refusal = 'no-such-step' | 'not-theirs' | 'by-second-task' | 'reason' | 'reply'

export type TransitionDecision =
  | { readonly allowed: true }
  | { readonly allowed: false; readonly because: Refusal; readonly next: readonly Step[] }

/**
 * May a referral go from one state to another, by whom and as it is asked for?
 *
 * Staying where it is is always allowed, as long as what the state demands is still there. The answer to what
 * is forbidden says why, and which steps whoever asks could take instead.
 */
export function transitionDecision(asked: Transition): TransitionDecision {
  const { from, to, by, bySecondTask } = asked
  const steps = REFERRAL_STEPS[from].next
  const refused = (because: Refusal): TransitionDecision => ({
    allowed: false,
    because,
    next: steps.filter((step) => isOf(step, by)),
  })
  const step = steps.find((one) => one.to === to)
  if (from !== to) {
    if (step === undefined) return refused('no-such-step')
    if (!isOf(step, by)) return refused('not-theirs')
    if ((step.bySecondTask ?? false) !== bySecondTask) return refused('by-second-task')
  }
  const missing = REFERRAL_STEPS[to].demands.find((demand) => !isMet(demand, asked))
  return missing === undefined ? { allowed: true } : refused(missing)
}

const isOf = (step: Step, by: readonly Actor[]): boolean =>
  step.by.some((actor) => by.includes(actor))

const isMet = (demand: Demand, { hasReason, replies }: Transition): boolean =>
  demand === 'reason' ? hasReason : replies >= 1

/** In which states may a Task of this status be? Empty for a status that no referral has. */
export const statesOfTask = (status: string): readonly ReferralState[] =>
  REFERRAL_STATES.filter((state) => REFERRAL_STEPS[state].task === status)

/** Is this a status that the Task of a referral may have? */
export const isTaskStatus = (status: string): status is TaskStatus =>
  statesOfTask(status).length > 0

/** In these states the next step is the clinic's; in others somebody else's, or a day has been set. */
export const AWAITS_CLINIC: readonly ReferralState[] = [
  'sent',
  'in-triage',
  'accepted',
  'missed',
  'visit-cancelled',
  'visit-done',
  'cancellation-requested',
]

/** Has a referral in this state come to its end? */
export const isEndState = (state: ReferralState): boolean => REFERRAL_STEPS[state].isEnd

/**
 * Where does a referral stand once it is computed?
 *
 * What was sent has been received; what cannot be decided waits for information, and goes on when it has
 * come. Whatever a person has taken further stays where it is.
 *
 * @param isUndetermined does the decision wait for facts that nobody has told?
 */
export function stateAfterTriage(state: ReferralState, isUndetermined: boolean): ReferralState {
  if (!['sent', 'in-triage', 'awaiting-information'].includes(state)) return state
  return isUndetermined ? 'awaiting-information' : 'in-triage'
}

/**
 * Is the loop closed: did the referrer open the reply to a referral that was completed?
 *
 * @param openedOn the instants at which the referrer read a reply; none when it never did
 */
export const isLoopClosed = (state: ReferralState, openedOn: readonly string[]): boolean =>
  state === 'loop-closed' || (state === 'completed' && openedOn.length > 0)
