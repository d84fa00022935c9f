import type { Actor, ReferralState, RequestStatus, TaskStatus } from './referral-states.ts'

/** What must be said or sent with a state. */
export type Demand = 'reason' | 'reply'

export interface Step {
  readonly to: ReferralState
  readonly by: readonly Actor[]
  /** It is asked for by a Task of its own, not by changing the Task of the referral. */
  readonly bySecondTask?: true
}

export interface StateRow {
  readonly task: TaskStatus
  /** What the request may be meanwhile; the first is what it becomes by itself. */
  readonly request: readonly RequestStatus[]
  readonly demands: readonly Demand[]
  /** Of an ended state only the exchange itself goes further. */
  readonly isEnd: boolean
  readonly next: readonly Step[]
}

const by =
  (...actors: readonly Actor[]) =>
  (...states: readonly ReferralState[]): Step[] =>
    states.map((to) => ({ to, by: actors }))

const clinic = by('clinic')
const referrer = by('referrer')
const either = by('referrer', 'clinic')
const IN_ERROR = by('author')('entered-in-error')
const ASKS_TO_CANCEL: Step = { to: 'cancellation-requested', by: ['referrer'], bySecondTask: true }

const VISITS = ['scheduled', 'missed', 'visit-cancelled', 'visit-done'] as const

const open = (
  task: TaskStatus,
  next: readonly Step[],
  ...demands: readonly Demand[]
): StateRow => ({
  task,
  request: ['active'],
  demands,
  isEnd: false,
  next: [...next, ...IN_ERROR],
})

const ended = (
  task: TaskStatus,
  request: readonly RequestStatus[],
  { next = [], demands = [] }: Partial<Pick<StateRow, 'next' | 'demands'>>,
): StateRow => ({ task, request, demands, isEnd: true, next: [...next, ...IN_ERROR] })

/** The four states of visits follow each other in any order. */
const visit = (own: ReferralState): StateRow =>
  open('in-progress', [
    ...clinic(...VISITS.filter((one) => one !== own), 'on-hold', 'completed', 'failed'),
    ASKS_TO_CANCEL,
  ])

/**
 * Every state of a referral: what Task and ServiceRequest are in it, what it asks for, and who may take it
 * where.
 *
 * Source: a state machine that fits R4 (Task 4.0.1), the open guides for referrals between services, for
 * social care and for order workflow, where they agree; the referrer cancels directly until work has begun,
 * afterwards by a second Task with code abort, since no guide and not R4 takes a Task from in-progress to
 * cancelled by its requester.
 * Judgement: a loop is closed when the referrer has opened the reply, and open again with another reply that
 * nobody has opened; it is not closed empty, and what was computed is no reply (the guides ask for an output
 * of the performer); an author may say of any state that all of it was an error; a draft is discarded by
 * deleting it.
 */
export const REFERRAL_STEPS: Readonly<Record<ReferralState, StateRow>> = {
  drafted: { ...open('draft', referrer('sent')), request: ['draft'] },
  sent: open('requested', [...clinic('in-triage'), ...referrer('cancelled')]),
  'in-triage': open('received', [
    ...clinic('awaiting-information', 'accepted', 'rejected'),
    ...referrer('cancelled'),
  ]),
  'awaiting-information': open('received', [
    ...either('in-triage'),
    ...clinic('rejected'),
    ...referrer('cancelled'),
  ]),
  accepted: open('accepted', [...clinic('scheduled', 'rejected'), ...referrer('cancelled')]),
  scheduled: visit('scheduled'),
  missed: visit('missed'),
  'visit-cancelled': visit('visit-cancelled'),
  'visit-done': visit('visit-done'),
  'on-hold': open('on-hold', [...clinic('scheduled', 'failed'), ASKS_TO_CANCEL], 'reason'),
  'cancellation-requested': open('in-progress', [
    ...clinic('cancelled', 'completed'),
    ...either(...VISITS, 'on-hold'),
  ]),
  completed: ended('completed', ['completed'], {
    demands: ['reply'],
    next: by('exchange')('loop-closed'),
  }),
  'loop-closed': ended('completed', ['completed'], {
    demands: ['reply'],
    next: by('exchange')('completed'),
  }),
  rejected: ended('rejected', ['active', 'revoked'], { demands: ['reason'] }),
  failed: ended('failed', ['active', 'revoked'], { demands: ['reason'] }),
  cancelled: ended('cancelled', ['revoked'], { demands: ['reason'] }),
  'entered-in-error': {
    task: 'entered-in-error',
    request: ['entered-in-error'],
    demands: [],
    isEnd: true,
    next: [],
  },
}
