import type { CivilDate } from '../calendar.ts'
import { addDays } from '../calendar.ts'
import { dayNumber } from '../day-number.ts'
import type { Evidence } from '../facts.ts'
import { day, type Message, type Said, say, together, type Values } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { SourceId } from '../tables/sources.ts'
import type { Finding } from '../truth.ts'

/** In the order of `dayNumber`: its day 0, 1 March of the year 0, is a Wednesday. */
const WEEKDAYS = ['Wed', 'Thu', 'Fri', 'Sat', 'Sun', 'Mon', 'Tue'] as const
export type Weekday = (typeof WEEKDAYS)[number]

export type DeadlineSettings = RuleSet['deadlines']

/** A day that a law sets. For information: the clinic does not own the clock. */
export interface Dated extends Finding {
  readonly holds: 'yes'
  readonly on: CivilDate
  readonly weekday: Weekday
  /** The day to work towards, never after `on`; absent for a day that is no deadline. */
  readonly workingTarget?: CivilDate
  /** The settings under which the day was counted, kept with it. */
  readonly counted: DeadlineSettings
}

/** No day: `unknown` when a fact is missing or contradicts another, `no` when the law sets none here. */
export interface Undated extends Finding {
  readonly holds: 'unknown' | 'no'
}

export type LawDate = Dated | Undated

/** What a finding says of itself, without its day. */
export interface Told {
  readonly rule: string
  readonly sources: readonly SourceId[]
  readonly evidence: readonly Evidence[]
}

export function weekdayOf(date: CivilDate): Weekday {
  const weekday = WEEKDAYS[dayNumber(date) % WEEKDAYS.length]
  if (weekday === undefined) throw new RangeError('there is no such day')
  return weekday
}

/**
 * On which day should one aim for a deadline? For one on a Saturday or Sunday the Friday before, when
 * the rule set says so; never later, since the law does not roll forward. Public holidays are not in
 * the rule: a clinic keeps its own calendar.
 *
 * @see SOURCES idea-303-9
 */
export function workingTarget(on: CivilDate, settings: DeadlineSettings): CivilDate {
  if (settings.workingTarget === 'same-day') return on
  const weekday = weekdayOf(on)
  if (weekday === 'Sat') return addDays(on, -1)
  return weekday === 'Sun' ? addDays(on, -2) : on
}

/**
 * A day with its weekday and the sentence that says so.
 *
 * @param words the sentence, into which `on` and `weekday` are filled
 */
export const dated = (
  told: Told,
  on: CivilDate,
  words: Said,
  settings: DeadlineSettings,
): Dated => ({
  ...told,
  holds: 'yes',
  on,
  weekday: weekdayOf(on),
  counted: settings,
  because: withDay(words, on),
})

/** The same for a deadline, with the day to work towards. */
export function deadline(
  told: Told,
  on: CivilDate,
  words: Said,
  settings: DeadlineSettings,
): Dated {
  const target = workingTarget(on, settings)
  const aim = target === on ? [] : [withDay(say('part-c.work-towards'), target)]
  const due = dated(told, on, words, settings)
  return { ...due, workingTarget: target, because: together([due.because, ...aim]) }
}

/** The sentence with a day and its weekday. */
const withDay = ({ key, values }: Said, on: CivilDate): Said =>
  say(key, { ...values, ...dayAndWeekday(on) })

const dayAndWeekday = (on: CivilDate): Values => ({
  on: day(on),
  weekday: say(`weekday.${weekdayOf(on)}`),
})

/** No day, and why. */
export const undated = (told: Told, holds: Undated['holds'], because: Message): Undated => ({
  ...told,
  holds,
  because,
})
