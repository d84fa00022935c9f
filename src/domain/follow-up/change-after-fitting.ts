import type { AssessedChild } from '../assessed-child.ts'
import type { CivilDate } from '../calendar.ts'
import { type LooksAroundFitting, looksAroundFitting } from './looks-around-fitting.ts'
import { type Message, percent, say, together } from '../messages/message.ts'
import type { Milestones } from '../development/milestones.ts'
import type { Interval } from '../development/pace.ts'
import { isAfter, paceChange, probabilityAboveZero, quantileWithin } from './pace-change.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { Posterior } from '../development/tempo-posterior.ts'
import type { Finding, Truth } from '../truth.ts'

/** The point is the median; 90 % interval. */
export interface Estimate {
  readonly value: number
  readonly interval: Interval
}

export interface PaceChanged {
  readonly state: 'estimated'
  /** Pace before the fitting, 1 typical. */
  readonly before: Estimate
  /** Pace since the fitting: developmental months gained per calendar month. */
  readonly after: Estimate
  /** Pace since over pace before. */
  readonly ratio: Estimate
  readonly probabilityFaster: number
  /** Belongs to every estimate. */
  readonly caution: Message
  readonly finding: Finding
}

export interface PaceChangeUnknown {
  readonly state: 'not-estimable'
  readonly reason: 'regression' | 'no-look-after' | 'nothing-left'
  readonly finding: Finding
}

export type ChangeAfterFitting = PaceChanged | PaceChangeUnknown

/** What was found of the child's milestones up to a day. */
export type ChildSeen = Pick<AssessedChild, 'child' | 'asOf' | 'milestones'>

const CAUTION = say('change-after-fitting.caution')

/**
 * Does the child's gross motor development go faster since the fitting than before?
 *
 * One pace up to the fitting and another since; the prior before is that of referred children, the
 * prior of the change is even around "no change". Not estimable after a regression, without a look
 * after the fitting, and when nothing was left to attain at the fitting or everything was there at the first
 * look. When there was no look before, the pace before is hardly more than its prior and the text says so.
 *
 * @throws AppError `business-rule` for a fitting before birth or by the due date
 * @see TEMPO_MODEL; the prior of the change is a judgement of the rule set
 */
export function changeAfterFitting(
  { child, asOf, milestones }: ChildSeen,
  fittedOn: CivilDate,
  rules: RuleSet,
): ChangeAfterFitting {
  const looks = looksAroundFitting(child, { fittedOn, asOf }, rules)
  const { observations, fittedAt } = looks
  const unknown = (reason: PaceChangeUnknown['reason'], because: Message): PaceChangeUnknown => ({
    state: 'not-estimable',
    reason,
    finding: finding(milestones, 'unknown', because),
  })
  if (milestones.regression.holds === 'yes')
    return unknown('regression', say('change-after-fitting.regression'))
  if (nothingLeft(milestones, looks))
    return unknown('nothing-left', say('change-after-fitting.nothing-left'))
  if (!observations.some((one) => isAfter(one, fittedAt)))
    return unknown('no-look-after', say('change-after-fitting.no-look-after'))
  if (observations.every(({ from }) => from === 0))
    return unknown('nothing-left', say('change-after-fitting.all-at-first-look'))
  return estimate(milestones, looks, rules)
}

const nothingLeft = (
  { statuses }: Milestones,
  { observations, fittedAt }: LooksAroundFitting,
): boolean =>
  statuses.every(({ state }) => state === 'attained' || state === 'left-out') &&
  observations.every(({ to }) => to !== null && to <= fittedAt)

function estimate(found: Milestones, looks: LooksAroundFitting, rules: RuleSet): PaceChanged {
  const { priorSdReferred: priorSd } = rules.milestones
  const { priorSdChange } = rules.followUp
  const { before, after, change } = paceChange({ ...looks, priorSd, priorSdChange })
  const paces = {
    before: estimateOf(before, rules, (tau) => Math.exp(-tau)),
    after: estimateOf(after, rules, (tau) => Math.exp(-tau)),
    ratio: estimateOf(change, rules, Math.exp),
    probabilityFaster: probabilityAboveZero(change),
  }
  const seenBefore = looks.observations.some(
    ({ from, to }) => (from > 0 && from <= looks.fittedAt) || (to ?? Infinity) <= looks.fittedAt,
  )
  const because = together([
    pacesSaid(paces, rules),
    ...(seenBefore ? [] : [say('change-after-fitting.no-look-before')]),
    CAUTION,
  ])
  return {
    state: 'estimated',
    ...paces,
    caution: CAUTION,
    finding: finding(found, 'yes', because),
  }
}

function estimateOf(
  posterior: Posterior,
  { milestones: { intervalLow, intervalHigh } }: RuleSet,
  of: (tau: number) => number,
): Estimate {
  const low = of(quantileWithin(posterior, intervalLow))
  const high = of(quantileWithin(posterior, intervalHigh))
  return {
    value: of(quantileWithin(posterior, 0.5)),
    // A slow child has a high tau and a low tempo.
    interval: { low: Math.min(low, high), high: Math.max(low, high) },
  }
}

function pacesSaid(
  { before, after, probabilityFaster }: Pick<PaceChanged, 'before' | 'after' | 'probabilityFaster'>,
  { milestones: { intervalLow, intervalHigh } }: RuleSet,
): Message {
  return say('change-after-fitting.estimated', {
    before: before.value,
    beforeLow: before.interval.low,
    beforeHigh: before.interval.high,
    after: after.value,
    afterLow: after.interval.low,
    afterHigh: after.interval.high,
    level: (intervalHigh - intervalLow) * 100,
    chance: percent(probabilityFaster),
  })
}

/** Holds when both paces can be given; else it is unknown. */
function finding({ statuses, regression }: Milestones, holds: Truth, because: Message): Finding {
  const all = [...statuses.flatMap((one) => one.evidence), ...regression.evidence]
  const sources = ['tempo-model', 'who-motor-2006', 'judgement'] as const
  return {
    rule: 'change-after-fitting',
    holds,
    because,
    sources,
    evidence: [...new Set(all)].toSorted(),
  }
}
