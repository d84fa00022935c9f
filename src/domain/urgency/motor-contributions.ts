import type { AssessedChild } from '../assessed-child.ts'
import { daysBetween } from '../calendar.ts'
import type { Milestone, StandardisedResult } from '../child.ts'
import { type Message, say, together } from '../messages/message.ts'
import { probabilityOfDelay } from '../development/delay-levels.ts'
import { uniqueEvidence } from '../evidence.ts'
import type { MilestoneStatus } from '../development/milestones.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { standardised } from '../development/standardised.ts'
import type { Tempo } from '../development/tempo.ts'
import { WHO_MOTOR_MODEL } from '../tables/who-motor-model.ts'
import type { Contribution } from './urgency.ts'
import { monthsOfDays } from '../units.ts'

type Weights = RuleSet['urgency']
type Points = Pick<Contribution, 'points' | 'low' | 'high'>

const certain = (points: number): Points => ({ points, low: points, high: points })
/** Unknown counts as the least it may be; the range says what it may be. */
const between = (low: number, high: number): Points => ({ points: low, low, high })

/**
 * How large is the gross motor delay? Points rise with the probability of each delay that is weighted.
 *
 * A standardised result takes precedence and is either at a level or not: a percentage is compared with
 * the level itself, a z-score with the z that the rule set reads as that level. When all was there at the
 * first look only the upper bound is known; after the ceiling age the ages at which the milestones came
 * count; and while gestation is unknown a child born early counts
 * too. Degree of laxity adds nothing: it was not related to delay
 * (SOURCES hypermobility-2005).
 */
export function motorDelay(
  { child, tempo, ifPreterm }: Pick<AssessedChild, 'child' | 'tempo' | 'ifPreterm'>,
  weights: Weights,
): Contribution {
  const levels = delayLevels(weights)
  const max = levels.reduce((sum, { points }) => sum + points, 0)
  const recorded = child.standardised
  if (recorded !== 'unknown') {
    return {
      id: 'motor-delay',
      ...certain(standardisedPoints(recorded.value, levels)),
      max,
      because: together([
        standardised(recorded.value).because,
        say('standardised.takes-precedence'),
      ]),
      sources: ['judgement', 'state-thresholds-sd'],
      evidence: [recorded.evidence],
    }
  }
  const { because, sources, evidence } = tempo.finding
  const of = { id: 'motor-delay', max, sources, evidence } as const
  const atTerm = estimatedPoints(tempo, levels)
  if (ifPreterm === undefined) return { ...of, ...atTerm, because }
  const early = estimatedPoints(ifPreterm.tempo, levels)
  return {
    ...of,
    ...between(Math.min(atTerm.low, early.low), Math.max(atTerm.high, early.high)),
    because: together([because, say('motor-delay.unknown-gestation')]),
  }
}

function estimatedPoints(tempo: Tempo, levels: readonly DelayLevel[]): Points {
  const sum = (points: readonly number[]) => points.reduce((all, one) => all + one, 0)
  const known = tempo.state === 'estimated' ? tempo : tempo.whenAttained
  if (known !== undefined)
    return certain(
      sum(levels.map(({ percent, points }) => points * probabilityOfDelay(percent, known))),
    )
  const bound = tempo.state === 'estimated' ? undefined : tempo.delayUpperBoundPercent
  const possible = levels.filter(({ percent }) => bound === undefined || percent <= bound)
  return between(0, sum(possible.map(({ points }) => points)))
}

interface DelayLevel {
  readonly percent: 25 | 33 | 50
  readonly z: number
  readonly points: number
}

const delayLevels = (weights: Weights): readonly DelayLevel[] => [
  { percent: 25, z: weights.delay25Z, points: weights.delay25Points },
  { percent: 33, z: weights.delay33Z, points: weights.delay33Points },
  { percent: 50, z: weights.delay50Z, points: weights.delay50Points },
]

/** Every result has one of the two; the other is not made from it. */
function standardisedPoints(result: StandardisedResult, levels: readonly DelayLevel[]): number {
  const { z, percentDelay } = standardised(result)
  const reached = levels.filter(
    (level) =>
      (z !== undefined && z <= level.z) ||
      (percentDelay !== undefined && percentDelay >= level.percent),
  )
  return reached.reduce((sum, { points }) => sum + points, 0)
}

/**
 * Has development stalled: how long is it since the last new milestone, against the child's own gap?
 *
 * Own gap = (reference median of the next milestone - that of the last one) / tempo, in months; the
 * last is the attained one with the latest median, the next the one that follows it. Crawling may be
 * left out by any child and lies too close to its neighbours to measure a gap: it is neither, though a
 * child who has begun to crawl has not stalled. Before the first milestone the count starts at birth,
 * at the age in use. No points up to one ratio, all from another, a straight line between.
 *
 * Nothing is known, 0 to all points, without a tempo, without the day of the last milestone, or when
 * nobody has looked at the next one. With all attained there is nothing to wait for: 0.
 *
 * @see WHO_MOTOR_MODEL (medians)
 */
export function stalled(
  assessed: Pick<AssessedChild, 'asOf' | 'ages' | 'milestones' | 'tempo'>,
  weights: Weights,
): Contribution {
  const { statuses } = assessed.milestones
  // The statuses come in the order of MILESTONES, which is that of the medians.
  const steps = statuses.filter(({ milestone }) => milestone !== CRAWLING)
  const last = steps.findLast(({ state }) => state === 'attained')
  const next = steps.find(({ milestone }) => median(milestone) > median(last?.milestone))
  const said = (points: Points, because: Message): Contribution => ({
    id: 'stalled',
    ...points,
    max: weights.stalledPoints,
    because,
    sources: ['judgement', 'who-motor-model'],
    evidence: uniqueEvidence([last?.evidence ?? [], next?.evidence ?? []]),
  })
  const open = between(0, weights.stalledPoints)
  if (next === undefined) return said(certain(0), say('stalled.all-attained'))
  const since = monthsSince(assessed, last)
  if (next.state !== 'not-yet' || since === 'unknown' || assessed.tempo.state !== 'estimated')
    return said(open, say('stalled.unknown'))
  const own = (median(next.milestone) - median(last?.milestone)) / assessed.tempo.tempo
  const ratio = since / own
  const because = say(
    assessed.milestones.lastAttainedOn === undefined ? 'stalled.since-birth' : 'stalled.since-last',
    {
      since,
      own,
      next: say(`milestone.${next.milestone}`),
      from: weights.stalledFromRatio,
      to: weights.stalledToRatio,
    },
  )
  return said(certain(weights.stalledPoints * rampUp(ratio, weights)), because)
}

/** Months of waiting for the next milestone; from birth when there is none yet. */
function monthsSince(
  { asOf, ages, milestones }: Pick<AssessedChild, 'asOf' | 'ages' | 'milestones'>,
  last: MilestoneStatus | undefined,
): number | 'unknown' {
  const on = milestones.lastAttainedOn
  if (last === undefined && on === undefined) return ages.months
  return on === undefined ? 'unknown' : monthsOfDays(daysBetween(on, asOf))
}

const rampUp = (ratio: number, { stalledFromRatio: from, stalledToRatio: to }: Weights): number =>
  Math.min(1, Math.max(0, (ratio - from) / (to - from)))

const CRAWLING: Milestone = 'hands-and-knees-crawling'

const median = (milestone: Milestone | undefined): number =>
  milestone === undefined ? 0 : WHO_MOTOR_MODEL.curves[milestone].median
