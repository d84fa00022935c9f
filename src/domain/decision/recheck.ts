import type { AssessedChild } from '../assessed-child.ts'
import type { CivilDate } from '../calendar.ts'
import { addDays, addMonths, earliestDay } from '../calendar.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { DAYS_PER_MONTH, months } from '../units.ts'

/** Where the review interval by growth changes; the settings are named after it. */
const THREE_YEARS = months(36)

/**
 * On which day is a child that is watched looked at again?
 *
 * Below the age that the clinic sees: the first day within it. Otherwise the earliest day on which a
 * next milestone is expected, at the median of the child's own tempo; without one, the review interval
 * that growth suggests; either within the limits of the rule set. Above the age: undefined, for the
 * child is referred elsewhere.
 */
export function recheckOn(
  { asOf, ages, tempo }: Pick<AssessedChild, 'asOf' | 'ages' | 'tempo'>,
  rules: RuleSet,
): CivilDate | undefined {
  const { serviceFromMonths: from, serviceToMonths: to } = rules.age
  if (ages.months > to) return undefined
  if (ages.months < from) return addDays(asOf, Math.ceil((from - ages.months) * DAYS_PER_MONTH))
  const expected = tempo.state === 'estimated' ? tempo.expected.map(({ median }) => median) : []
  const { reviewMonthsUnder3, reviewMonthsFrom3 } = rules.fitting
  const growth = addMonths(asOf, ages.months < THREE_YEARS ? reviewMonthsUnder3 : reviewMonthsFrom3)
  const wanted = earliestDay(expected) ?? growth
  const { recheckMinDays, recheckMaxDays } = rules.suitability
  return within(wanted, addDays(asOf, recheckMinDays), addDays(asOf, recheckMaxDays))
}

/** Written year first, days compare as text. */
function within(day: CivilDate, first: CivilDate, last: CivilDate): CivilDate {
  if (day < first) return first
  return day > last ? last : day
}
