import type { RuleSet } from './rule-set.ts'

/** Two settings of one section that contradict each other. */
export interface Incoherence {
  /** Section and setting, `urgency.urgentFrom`. */
  readonly path: string
  readonly text: string
}

/** In each row every value is below the next one: as bounds, bands or steps must be. */
const RISING = [
  ['age', 'gestationMinDays', 'termFromDays', 'fullTermDays', 'gestationMaxDays'],
  ['age', 'serviceFromMonths', 'serviceToMonths'],
  ['milestones', 'priorSdSceptical', 'priorSdReferred'],
  ['milestones', 'intervalLow', 'intervalHigh'],
  ['milestones', 'expectedLow', 'expectedHigh'],
  ['posture', 'ankleStopDegrees', 'ankleFlagDegrees'],
  ['urgency', 'stalledFromRatio', 'stalledToRatio'],
  ['urgency', 'pronationFpiFrom', 'pronationFpiTo'],
  ['urgency', 'windowFullUntilMonths', 'windowZeroFromMonths'],
  ['urgency', 'urgentFrom', 'asapFrom'],
  ['growth', 'lowPercentile', 'highPercentile'],
] as const

/** The same, where two values may be equal. */
const NOT_FALLING = [
  ['age', 'gestationMinDays', 'unknownGestationDays', 'gestationMaxDays'],
  ['posture', 'fpiItemMet', 'fpiItemMarked'],
  ['posture', 'heelEversionMetDegrees', 'heelEversionMarkedDegrees'],
  ['posture', 'navicularDropMetMm', 'navicularDropMarkedMm'],
  ['suitability', 'recheckMinDays', 'recheckMaxDays'],
  ['suitability', 'trialReviewWeeksFrom', 'trialReviewWeeksTo'],
  ['urgency', 'delay50Z', 'delay33Z', 'delay25Z'],
  ['urgency', 'asapDays', 'urgentDays', 'routineDays'],
  ['sizing', 'unloadedGainLowPercent', 'unloadedGainHighPercent'],
  ['sizing', 'closureGapToleranceMm', 'closureGapMm'],
  ['fitting', 'wearStartMinutesLow', 'wearStartMinutesHigh'],
  ['fitting', 'wearTargetDayLow', 'wearTargetDayHigh'],
  ['fitting', 'rednessTellMinutes', 'rednessStopMinutes'],
  ['fitting', 'reviewMonthsFrom3Low', 'reviewMonthsFrom3'],
] as const

const MOST_POINTS = 100
const PLANES = 3
const MINUTES_PER_HOUR = 60
const MONTHS_PER_YEAR = 12
/** Sums of decimals are equal when they differ by less. */
const ROUNDING = 1e-9

/**
 * Which settings contradict each other, though each by itself may be as it is?
 *
 * A lower bound above its upper one, a later step before an earlier one, or points that do not add up to
 * what they are said to be. None when the rule set is coherent.
 */
export function incoherences(rules: RuleSet): Incoherence[] {
  return [
    ...RISING.flatMap((row) => outOfOrder(rules, row, 'must be above')),
    ...NOT_FALLING.flatMap((row) => outOfOrder(rules, row, 'must not be below')),
    ...sums(rules.urgency),
    ...acrossUnits(rules),
  ]
}

type Relation = 'must be above' | 'must not be below'

function outOfOrder(
  rules: RuleSet,
  [section, ...names]: readonly [keyof RuleSet, ...string[]],
  relation: Relation,
): Incoherence[] {
  const values = new Map<string, unknown>(Object.entries(rules[section] ?? {}))
  const ordered = (low: unknown, high: unknown): boolean =>
    typeof low === 'number' &&
    typeof high === 'number' &&
    (relation === 'must be above' ? high > low : high >= low)
  return names.slice(1).flatMap((name, index) => {
    const before = names[index] ?? ''
    if (ordered(values.get(before), values.get(name))) return []
    return [{ path: `${section}.${name}`, text: `${relation} ${section}.${before}` }]
  })
}

function sums(weights: RuleSet['urgency']): Incoherence[] {
  const { pronationPoints, safetyPoints } = weights
  const total =
    weights.delay25Points +
    weights.delay33Points +
    weights.delay50Points +
    weights.stalledPoints +
    pronationPoints +
    weights.windowPoints +
    safetyPoints +
    weights.waitingPoints
  const pronation = PLANES * weights.pronationPerPlane + weights.pronationFpiPoints
  const safety = weights.safetyFalls + weights.safetyToeRising + weights.safetyRefusal
  return [
    unequal('urgency', total, MOST_POINTS, 'the points of all contributions add up to'),
    unequal('urgency.pronationPoints', pronation, pronationPoints, 'its parts add up to'),
    unequal('urgency.safetyPoints', safety, safetyPoints, 'its parts add up to'),
  ].flat()
}

function unequal(path: string, sum: number, whole: number, what: string): Incoherence[] {
  return Math.abs(sum - whole) < ROUNDING ? [] : [{ path, text: `${what} ${sum}, not to ${whole}` }]
}

function acrossUnits({ age, fitting }: RuleSet): Incoherence[] {
  const faults: Incoherence[] = []
  if (!(age.serviceToMonths <= age.maxAgeYears * MONTHS_PER_YEAR))
    faults.push({ path: 'age.serviceToMonths', text: 'must not be above age.maxAgeYears' })
  if (!(fitting.wearTargetHours * MINUTES_PER_HOUR >= fitting.wearStartMinutesHigh))
    faults.push({
      path: 'fitting.wearTargetHours',
      text: 'must not be below fitting.wearStartMinutesHigh',
    })
  return faults
}
