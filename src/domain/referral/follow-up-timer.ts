import { addDays, type CivilDate, earliestDay, latestDay } from '../calendar.ts'
import { day, say } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { Reminder } from './timers.ts'

/** A visit of an accepted plan. */
export interface PlannedVisit {
  readonly on: CivilDate
  /** Nobody has said yet that it took place, or that it will not. */
  readonly isOpen: boolean
  readonly isDone: boolean
}

/**
 * Has a visit of the plan gone by without a word: the first one after the last that took place?
 *
 * Whatever became of the referral, a child who wears a device is followed; visits before one that took place are not
 * asked for any more.
 *
 * Judgement: as many days later as an accepted referral may be without a date.
 */
export function overdueFollowUp(
  visits: readonly PlannedVisit[],
  asOf: CivilDate,
  { timers }: Pick<RuleSet, 'timers'>,
): readonly Reminder[] {
  const last = latestDay(visits.filter(({ isDone }) => isDone).map(({ on }) => on))
  const open = visits.filter(({ on, isOpen }) => isOpen && (last === undefined || on > last))
  const due = earliestDay(open.map(({ on }) => on))
  if (due === undefined || asOf <= addDays(due, timers.dateDays)) return []
  const because = say('reminder.follow-up-visit', { due: day(due) })
  return [{ timer: 'overdue-visit', occasion: `follow-up ${due}`, due, because }]
}
