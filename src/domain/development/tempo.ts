import { type Ages, ageRule } from './age.ts'
import { addDays, addMonths, daysBetween } from '../calendar.ts'
import type { Child } from '../child.ts'
import { type Message, say, together } from '../messages/message.ts'
import type { Milestones, MilestoneStatus } from './milestones.ts'
import { delayPercentOf, delayProbabilityOf, type Pace, paceOf } from './pace.ts'
import type { AssessmentRules } from '../assessed-child.ts'
import {
  type ExpectedMilestone,
  expectedMilestone,
  type ForecastSpan,
  walkingAloneBy,
  walkingPrognosis,
} from './tempo-forecast.ts'
import { type Posterior, posterior, tauQuantile } from './tempo-posterior.ts'
import type { Observation } from './tempo-residual.ts'
import type { Finding, Truth } from '../truth.ts'

export type { Interval } from './pace.ts'
export type { ExpectedMilestone } from './tempo-forecast.ts'

export interface TempoEstimate extends Pace {
  readonly state: 'estimated'
  /** What all its numbers are read from, and any other question about the delay can be. */
  readonly believed: Posterior
  readonly walkingAloneBy18Months: number
  readonly walkingPrognosis: Message
  /** The same with the narrow prior of reference children. */
  readonly sceptical: { readonly delayPercent: number; readonly differs: boolean }
  /** For each milestone not yet attained and expected within the horizon, in the order of MILESTONES. */
  readonly expected: readonly ExpectedMilestone[]
  readonly finding: Finding
}

export interface TempoUnknown {
  readonly state: 'not-estimable'
  readonly reason: 'regression' | 'ceiling' | 'no-observations'
  /** At the ceiling only a bound on slowness can be given, percent. */
  readonly delayUpperBoundPercent?: number
  /**
   * At the ceiling by age: what the ages at which the milestones came say of the delay. No pace of today,
   * but it stays known: a child is not better known before it walks than after.
   */
  readonly whenAttained?: Pick<Pace, 'delayProbability'>
  readonly finding: Finding
}

export type Tempo = TempoEstimate | TempoUnknown

/**
 * How fast does the child's gross motor development go, against the typical child?
 *
 * One factor stretches the ages of all milestones; it is estimated from the intervals in which each
 * began, with the wide prior for referred children, and once more with the narrow one. Ages are those
 * the rules use. Not estimable after a regression, without observations, and at the ceiling: when
 * everything that was looked at was already there at the first look, or when nothing is left to
 * attain beyond the age of the rule set. Assumes one pace since birth: it fails for a one-sided
 * problem, after illness, and for a delay that began late.
 *
 * @see TEMPO_MODEL
 */
export function tempo(child: Child, found: Milestones, ages: Ages, rules: AssessmentRules): Tempo {
  const observations = observationsOf(found.statuses)
  if (found.regression.holds === 'yes') return unknown(found, 'regression', say('tempo.regression'))
  if (observations.length === 0)
    return unknown(found, 'no-observations', say('tempo.no-observations'))
  const ceiling = ceilingOf(found.statuses, observations, ages, rules)
  return ceiling !== undefined
    ? boundOnly({ found, observations, ceiling }, rules)
    : estimate(child, { found, observations }, ages, rules)
}

/** What the statuses say about pace; a look before the due date says nothing. */
export const observationsOf = (statuses: readonly MilestoneStatus[]): readonly Observation[] =>
  statuses.flatMap(({ milestone, interval }) =>
    interval === undefined || (interval.from === 0 && interval.to === null)
      ? []
      : [{ milestone, ...interval }],
  )

type Ceiling = 'all-seen-at-first-look' | 'all-attained'

/** Why milestones cannot tell the pace; undefined when they can. */
function ceilingOf(
  statuses: readonly MilestoneStatus[],
  observations: readonly Observation[],
  ages: Ages,
  rules: AssessmentRules,
): Ceiling | undefined {
  const { ceilingAgeMonths } = rules.milestones
  if (observations.every(({ from, to }) => from === 0 && to !== null))
    return 'all-seen-at-first-look'
  const nothingLeft = statuses.every(({ state }) => state === 'attained' || state === 'left-out')
  return nothingLeft && ages.months > ceilingAgeMonths ? 'all-attained' : undefined
}

interface AtCeiling {
  readonly found: Milestones
  readonly observations: readonly Observation[]
  readonly ceiling: Ceiling
}

function boundOnly({ found, observations, ceiling }: AtCeiling, rules: AssessmentRules): Tempo {
  const { priorSdReferred, intervalHigh, ceilingAgeMonths } = rules.milestones
  const believed = posterior(observations, priorSdReferred)
  const delayUpperBoundPercent = delayPercentOf(tauQuantile(believed, intervalHigh))
  const bounded = delayUpperBoundPercent > 0 ? 'bounded' : 'ahead'
  const values = { bound: delayUpperBoundPercent, limit: ceilingAgeMonths }
  const because = say(`tempo.${ceiling}-${bounded}`, values)
  return {
    ...unknown(found, 'ceiling', because),
    delayUpperBoundPercent,
    ...(ceiling === 'all-attained' && {
      whenAttained: { delayProbability: delayProbabilityOf(believed) },
    }),
  }
}

function estimate(
  child: Child,
  { found, observations }: { found: Milestones; observations: readonly Observation[] },
  ages: Ages,
  rules: AssessmentRules,
): TempoEstimate {
  const { priorSdReferred, priorSdSceptical, scepticalDifferencePoints } = rules.milestones
  const believed = posterior(observations, priorSdReferred)
  const pace = paceOf(believed, ages.months, rules)
  const narrow = posterior(observations, priorSdSceptical)
  const delayPercent = delayPercentOf(tauQuantile(narrow, 0.5))
  const differs = Math.abs(pace.delayPercent - delayPercent) > scepticalDifferencePoints
  const basis = { observations, priorSd: priorSdReferred }
  const span = forecastSpan(child, ages, rules)
  const by = rules.milestones.walkingPrognosisMonths
  const chance = walkingAloneBy(by, basis)
  return {
    state: 'estimated',
    believed,
    ...pace,
    walkingAloneBy18Months: chance,
    walkingPrognosis: walkingPrognosis(by, basis, chance),
    sceptical: { delayPercent, differs },
    expected: found.statuses.flatMap(({ milestone, state }) =>
      state === 'not-yet'
        ? (expectedMilestone(milestone, basis, span, rules.milestones) ?? [])
        : [],
    ),
    finding: finding(
      found,
      'yes',
      whatPace({ pace, sceptical: { delayPercent, differs } }, ages, rules),
    ),
  }
}

function forecastSpan(child: Child, ages: Ages, rules: AssessmentRules): ForecastSpan {
  const asOf = addDays(child.birthDate.value, ages.chronologicalDays)
  const ageAt = ageRule(child, rules)
  return {
    asOf,
    horizonDays: daysBetween(asOf, addMonths(asOf, rules.milestones.forecastHorizonMonths)),
    ageAfter: (days) => ageAt(ages.chronologicalDays + days),
  }
}

/** The sceptical reading is told when it differs by more than the points of the rule set. */
function whatPace(
  { pace, sceptical }: { readonly pace: Pace; readonly sceptical: TempoEstimate['sceptical'] },
  ages: Ages,
  { milestones: { intervalLow, intervalHigh, scepticalDifferencePoints: points } }: AssessmentRules,
): Message {
  const main = say('tempo.estimated', {
    tempo: pace.tempo,
    used: ages.used,
    ageEquivalent: pace.ageEquivalent,
    delay: pace.delayPercent,
    level: 100 * (intervalHigh - intervalLow),
    low: pace.delayInterval.low,
    high: pace.delayInterval.high,
  })
  return sceptical.differs
    ? together([main, say('tempo.sceptical', { delay: sceptical.delayPercent, points })])
    : main
}

function unknown(
  found: Milestones,
  reason: TempoUnknown['reason'],
  because: Message,
): TempoUnknown {
  return { state: 'not-estimable', reason, finding: finding(found, 'unknown', because) }
}

/** Holds when a pace can be given; else it is unknown. */
function finding(found: Milestones, holds: Truth, because: Message): Finding {
  const evidence = [...new Set(found.statuses.flatMap((one) => one.evidence))].toSorted()
  const sources = ['tempo-model', 'who-motor-2006', 'judgement'] as const
  return { rule: 'tempo', holds, because, sources, evidence }
}
