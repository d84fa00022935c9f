import { addDays, type CivilDate, earliestDay, latestDay } from '../calendar.ts'
import type { Recorded } from '../facts.ts'
import type { Deadlines } from '../law/deadlines.ts'
import { day, type Message, say } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { ReferralState } from './referral-states.ts'

/** What must not be forgotten about a referral. */
export const TIMERS = [
  'no-receipt',
  'no-triage',
  'no-decision',
  'no-date',
  'no-reply',
  'information-not-sent',
  'overdue-visit',
  'legal-date',
] as const
export type Timer = (typeof TIMERS)[number]

/** A day that a law sets, with the day to work towards. */
export interface LegalDate {
  readonly rule: string
  readonly on: CivilDate
  readonly workingTarget: CivilDate
  readonly because: Message
}

/**
 * The days to work towards that the law of early intervention sets for a child, but for what has been done: who
 * was referred to the programme need not be, and a plan ends the clock of the evaluation. That a parent saw the
 * record is said by whoever closes the reminder.
 *
 * Judgement: a day on which something only may begin, or which only informs, is nobody's task.
 */
export function legalDates(
  { referralDue, clock, transition, planReviews, inspection }: Deadlines,
  done: { readonly referredOn: Recorded<CivilDate>; readonly planOn: Recorded<CivilDate> },
): LegalDate[] {
  const open = [
    ...(done.referredOn === 'unknown' ? [referralDue] : []),
    ...(done.planOn === 'unknown' ? [clock.due] : []),
    transition.due,
    planReviews.next,
    planReviews.annual,
    ...(inspection === undefined ? [] : [inspection]),
  ]
  return open.flatMap((date) => {
    if (date.holds !== 'yes' || date.workingTarget === undefined) return []
    const { rule, on, workingTarget, because } = date
    return [{ rule, on, workingTarget, because }]
  })
}

/** What is known of the course of a referral. */
export interface ReferralCourse {
  readonly state: ReferralState
  /** The day on which it came into its state. */
  readonly since: CivilDate
  readonly receivedOn: CivilDate
  /** By when the child is to be seen. */
  readonly seeBy: CivilDate | 'unknown'
  /** The days on which information was asked for that has not come. */
  readonly informationAskedOn: readonly CivilDate[]
  /** The days of visits that are planned. */
  readonly visitsOn: readonly CivilDate[]
  readonly legalDates: readonly LegalDate[]
}

/** Something that the clinic has to look after. */
export interface Reminder {
  readonly timer: Timer
  /** Tells it from another one of the same timer: when its cause began, or the date it is about. */
  readonly occasion: string
  /** When it should have been done, or has to be. */
  readonly due: CivilDate
  readonly because: Message
}

const NOT_SEEN: readonly ReferralState[] = [
  'sent',
  'in-triage',
  'awaiting-information',
  'accepted',
  'scheduled',
  'missed',
  'visit-cancelled',
]
const WITHOUT_DATE: readonly ReferralState[] = ['accepted', 'missed', 'visit-cancelled']
const OPEN: readonly ReferralState[] = [
  ...NOT_SEEN,
  'visit-done',
  'on-hold',
  'cancellation-requested',
]

/**
 * What the clinic is reminded of about a referral on a day.
 *
 * A limit of days has passed on the day after its last one. What waits on purpose (on hold) or has ended is not
 * late, and of what the referrer wants given up only the decision about that is; its legal dates run on until it
 * has ended. A legal date that had passed when the referral came is nobody's task any more. With the same facts,
 * what is due on a day is due on every later day.
 *
 * Judgement: which states count for which timer; whether a referral is given up is decided as soon as whether it
 * is taken.
 */
export function remindersDue(
  course: ReferralCourse,
  asOf: CivilDate,
  { timers }: Pick<RuleSet, 'timers'>,
): readonly Reminder[] {
  if (!OPEN.includes(course.state)) return []
  return [
    ...whileIn(course, asOf, ['sent'], { timer: 'no-receipt', days: timers.receiptDays }),
    ...whileIn(course, asOf, ['in-triage'], { timer: 'no-triage', days: timers.triageDays }),
    ...whileIn(course, asOf, ['cancellation-requested'], {
      timer: 'no-decision',
      days: timers.triageDays,
    }),
    ...(course.visitsOn.some((on) => on >= asOf)
      ? []
      : whileIn(course, asOf, WITHOUT_DATE, { timer: 'no-date', days: timers.dateDays })),
    ...whileIn(course, asOf, ['visit-done'], { timer: 'no-reply', days: timers.replyDays }),
    ...informationNotSent(course, asOf, timers.informationDays),
    ...overdueVisit(course, asOf),
    ...nearLegalDates(course, asOf, timers.legalNoticeDays),
  ]
}

interface Limit {
  readonly timer: Exclude<Timer, 'overdue-visit' | 'legal-date'>
  readonly days: number
}

const whileIn = (
  { state, since }: ReferralCourse,
  asOf: CivilDate,
  states: readonly ReferralState[],
  limit: Limit,
): Reminder[] => (states.includes(state) ? passed(since, asOf, limit) : [])

function passed(since: CivilDate, asOf: CivilDate, { timer, days }: Limit): Reminder[] {
  const due = addDays(since, days)
  if (asOf <= due) return []
  const because = say(`reminder.${timer}`, { since: day(since), days, due: day(due) })
  return [{ timer, occasion: since, due, because }]
}

/** Of several requests the one that was made first; without one, since the referral waits. */
function informationNotSent(course: ReferralCourse, asOf: CivilDate, days: number): Reminder[] {
  const { state, since, informationAskedOn } = course
  if (state === 'on-hold' || state === 'cancellation-requested') return []
  const asked =
    earliestDay(informationAskedOn) ?? (state === 'awaiting-information' ? since : undefined)
  return asked === undefined ? [] : passed(asked, asOf, { timer: 'information-not-sent', days })
}

/** The child was to be seen by a day, or on the day of a visit, and nobody says that it was. */
function overdueVisit(
  { state, seeBy, visitsOn }: ReferralCourse,
  asOf: CivilDate,
): readonly Reminder[] {
  if (!NOT_SEEN.includes(state)) return []
  const visit = state === 'scheduled' ? latestDay(visitsOn) : undefined
  const days = [...(seeBy === 'unknown' ? [] : [seeBy]), ...(visit === undefined ? [] : [visit])]
  const due = earliestDay(days.filter((on) => on < asOf))
  if (due === undefined) return []
  const key = due === seeBy ? 'reminder.overdue-visit' : 'reminder.visit-without-word'
  return [{ timer: 'overdue-visit', occasion: due, due, because: say(key, { due: day(due) }) }]
}

const nearLegalDates = (
  { legalDates, receivedOn }: ReferralCourse,
  asOf: CivilDate,
  noticeDays: number,
): Reminder[] =>
  legalDates
    .filter(
      ({ on, workingTarget }) => on >= receivedOn && asOf >= addDays(workingTarget, -noticeDays),
    )
    .map(({ rule, on, workingTarget, because }) => ({
      timer: 'legal-date',
      occasion: `${rule} ${on}`,
      due: workingTarget,
      because,
    }))
