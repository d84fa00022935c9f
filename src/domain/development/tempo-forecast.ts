import { addDays, type CivilDate } from '../calendar.ts'
import type { Milestone } from '../child.ts'
import { day, type Message, percent, say } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { averageOver, type Posterior, posteriorOn } from './tempo-posterior.ts'
import { averageNotBegunBy, chanceOf, COARSE_GRID, type Observation } from './tempo-residual.ts'
import type { Months } from '../units.ts'

/** Dates by which a milestone is expected at the present tempo, given that it is not yet there; 80 % interval. */
export interface ExpectedMilestone {
  readonly milestone: Milestone
  readonly median: CivilDate
  readonly earliest: CivilDate
  /** Absent when it lies beyond the forecast horizon. */
  readonly latest?: CivilDate
  readonly because: Message
}

/** What is known of a child's pace. */
export interface ForecastBasis {
  readonly observations: readonly Observation[]
  readonly priorSd: number
}

/**
 * How likely is it that the child walks alone by an age, given all that is known?
 *
 * 1 when it was seen by then, 0 when it was seen missing then or later; else the model, given what
 * was last seen of walking.
 *
 * @param by months, of the age that the rules use
 */
export function walkingAloneBy(by: number, basis: ForecastBasis): number {
  const seen = walkingSeen(basis)
  if (walkedBy(by, seen)) return 1
  if (seen.from >= by) return 0
  const others = fromOthers(seen.milestone, basis)
  const byThen = averageOver(others, chanceOf({ ...seen, to: by }, others.grid))
  return byThen / averageOver(others, chanceOf(seen, others.grid))
}

/** The same in words: what was seen is a fact, the rest a probability. @param chance `walkingAloneBy` */
export function walkingPrognosis(by: number, basis: ForecastBasis, chance: number): Message {
  const seen = walkingSeen(basis)
  if (walkedBy(by, seen)) return say('walking-prognosis.seen', { months: by })
  return seen.from >= by
    ? say('walking-prognosis.missed', { months: by })
    : say('walking-prognosis.chance', { months: by, chance: percent(chance) })
}

const NOT_LOOKED_AT: Observation = { milestone: 'walking-alone', from: 0, to: null }

const walkingSeen = ({ observations }: ForecastBasis): Observation =>
  observations.find(({ milestone }) => milestone === NOT_LOOKED_AT.milestone) ?? NOT_LOOKED_AT

const walkedBy = (by: number, { to }: Observation): boolean => to !== null && to <= by

/** What the other milestones tell of the pace, to foretell this one. */
const fromOthers = (milestone: Milestone, { observations, priorSd }: ForecastBasis): Posterior =>
  posteriorOn(
    COARSE_GRID,
    observations.filter((one) => one.milestone !== milestone),
    priorSd,
  )

/** Where a forecast starts and ends. */
export interface ForecastSpan {
  readonly asOf: CivilDate
  readonly horizonDays: number
  /** The age that counts so many days after `asOf`. */
  readonly ageAfter: (days: number) => Months
}

/**
 * By which day is a milestone expected, if the child keeps its tempo and has not got it today?
 *
 * The tempo is what the other milestones tell; that this one is not there today is the condition.
 * The first day by which the probability reaches the share. Absent when even the median lies beyond
 * the horizon of the rule set. Never before `asOf`.
 */
export function expectedMilestone(
  milestone: Milestone,
  basis: ForecastBasis,
  { asOf, horizonDays, ageAfter }: ForecastSpan,
  { expectedLow, expectedHigh }: RuleSet['milestones'],
): ExpectedMilestone | undefined {
  const others = fromOthers(milestone, basis)
  const notBegunAfter = (days: number) => averageNotBegunBy(milestone, ageAfter(days), others)
  const today = notBegunAfter(0)
  const dayOf = (share: number, within: { from: number; to: number }) =>
    firstDay(within, (days) => notBegunAfter(days) <= (1 - share) * today)

  const median = today > 0 ? dayOf(0.5, { from: 0, to: horizonDays }) : undefined
  if (median === undefined) return undefined
  const earliest = dayOf(expectedLow, { from: 0, to: median }) ?? median
  const latest = dayOf(expectedHigh, { from: median, to: horizonDays })
  const dates = {
    median: addDays(asOf, median),
    earliest: addDays(asOf, earliest),
    ...(latest === undefined ? {} : { latest: addDays(asOf, latest) }),
  }
  const level = 100 * (expectedHigh - expectedLow)
  return { milestone, ...dates, because: expectation(milestone, dates, level) }
}

function expectation(
  milestone: Milestone,
  dates: Pick<ExpectedMilestone, 'median' | 'earliest' | 'latest'>,
  level: number,
): Message {
  const values = {
    milestone: say(`milestone.${milestone}`),
    median: day(dates.median),
    earliest: day(dates.earliest),
    level,
  }
  return dates.latest === undefined
    ? say('expected-milestone.open', values)
    : say('expected-milestone.range', { ...values, latest: day(dates.latest) })
}

/** The first day after `from`, up to `to`, on which something that stays true once it is true holds. */
function firstDay(
  { from, to }: { readonly from: number; readonly to: number },
  holds: (days: number) => boolean,
): number | undefined {
  if (!holds(to)) return undefined
  let not = from
  let day = to
  while (day - not > 1) {
    const middle = Math.floor((not + day) / 2)
    if (holds(middle)) day = middle
    else not = middle
  }
  return day
}
