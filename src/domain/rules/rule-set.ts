import { z } from 'zod'
import { ASHWORTH_GRADES } from '../child.ts'
import { ESTIMATED_DELAYS } from '../development/delay-levels.ts'

const MARKS = ['published', 'derived', 'common-practice', 'judgement', 'memory'] as const

/** A setting stands with its unit, mark and source in the file; the rules see only its value. */
const provenance = {
  unit: z.string().min(1),
  mark: z.enum(MARKS),
  source: z.string().min(1),
}
const number = z
  .strictObject({ value: z.number(), ...provenance })
  .transform((setting) => setting.value)
const numbers = z
  .strictObject({ value: z.array(z.number()).min(1), ...provenance })
  .transform((setting) => setting.value)
const grade = z
  .strictObject({ value: z.enum(ASHWORTH_GRADES), ...provenance })
  .transform((setting) => setting.value)

/** One of several words. */
const choice = <const Words extends readonly [string, ...string[]]>(words: Words) =>
  z.strictObject({ value: z.enum(words), ...provenance }).transform((setting) => setting.value)

/** The tempo gives a probability for these delays only. */
const isEstimated = (percent: number) => ESTIMATED_DELAYS.some((delay) => delay === percent)

const RULE_SET = z.strictObject({
  id: z.string().regex(/^[A-Za-z0-9.-]{1,64}$/),
  version: z.string().min(1),
  title: z.string().min(1),
  status: z.enum(['draft', 'active', 'retired']),
  note: z.string().optional(),
  age: z.strictObject({
    termFromDays: number,
    fullTermDays: number,
    correctUntilMonths: number,
    gestationMinDays: number,
    gestationMaxDays: number,
    unknownGestationDays: number,
    maxAgeYears: number,
    serviceFromMonths: number,
    serviceToMonths: number,
  }),
  milestones: z.strictObject({
    priorSdReferred: number,
    priorSdSceptical: number,
    scepticalDifferencePoints: number,
    caregiverDateDays: number,
    ceilingAgeMonths: number,
    intervalLow: number,
    intervalHigh: number,
    expectedLow: number,
    expectedHigh: number,
    walkingPrognosisMonths: number,
    forecastHorizonMonths: number,
  }),
  posture: z.strictObject({
    fpiItemMet: number,
    fpiItemMarked: number,
    heelEversionMetDegrees: number,
    heelEversionMarkedDegrees: number,
    navicularDropMetMm: number,
    navicularDropMarkedMm: number,
    fpiZFromMonths: number,
    ankleFlagDegrees: number,
    ankleStopDegrees: number,
  }),
  suitability: z.strictObject({
    delayPercent: number.refine(isEstimated, `must be one of ${ESTIMATED_DELAYS.join(', ')}`),
    delayProbability: number,
    standardisedZ: number,
    posturalSignsNeeded: number,
    gaitSignMonthsAfterWalking: number,
    ashworthExclusion: grade,
    handPreferenceBeforeMonths: number,
    walkingReviewMonths: number,
    kneeAngleFromMonths: number,
    kneeValgusLimitDegrees: number,
    recheckMinDays: number,
    recheckMaxDays: number,
    trialReviewWeeksFrom: number,
    trialReviewWeeksTo: number,
  }),
  urgency: z.strictObject({
    delay25Points: number,
    delay33Points: number,
    delay50Points: number,
    delay25Z: number,
    delay33Z: number,
    delay50Z: number,
    stalledPoints: number,
    stalledFromRatio: number,
    stalledToRatio: number,
    pronationPoints: number,
    pronationPerPlane: number,
    pronationFpiPoints: number,
    pronationFpiFrom: number,
    pronationFpiTo: number,
    windowPoints: number,
    windowFullUntilMonths: number,
    windowZeroFromMonths: number,
    safetyPoints: number,
    safetyFalls: number,
    safetyToeRising: number,
    safetyRefusal: number,
    waitingPoints: number,
    waitingFullDays: number,
    urgentFrom: number,
    asapFrom: number,
    routineDays: number,
    urgentDays: number,
    asapDays: number,
  }),
  sizing: z.strictObject({
    unloadedGainLowPercent: number,
    unloadedGainHighPercent: number,
    plausibleZ: number,
    shoeDisagreementMm: number,
    growthReserveMm: number,
    medialClearanceMm: number,
    lateralClearanceMm: number,
    closureGapMm: number,
    closureGapToleranceMm: number,
    trimToleranceMm: number,
  }),
  growth: z.strictObject({
    ownRateMinDays: number,
    horizonMonths: number,
    lowPercentile: number,
    highPercentile: number,
  }),
  fitting: z.strictObject({
    wearStartMinutesLow: number,
    wearStartMinutesHigh: number,
    wearTargetHours: number,
    wearTargetDayLow: number,
    wearTargetDayHigh: number,
    barefootMinutes: number,
    rednessTellMinutes: number,
    rednessStopMinutes: number,
    followUpWeeks: numbers,
    planMonths: number,
    reviewMonthsUnder3: number,
    reviewMonthsFrom3: number,
    reviewMonthsFrom3Low: number,
    shoeSizesUp: number,
    heelHeightMaxMm: number,
    deliveryAfterDays: number,
  }),
  deadlines: z.strictObject({
    countingConvention: choice(['day-after-receipt', 'receipt-is-day-one']),
    leapBirthday: choice(['feb28', 'mar1']),
    workingTarget: choice(['friday-before', 'same-day']),
  }),
  followUp: z.strictObject({
    priorSdChange: number,
    gainProbability: number,
    stalledWeeks: number,
    lookDays: number,
    wearTolerancePercent: number,
  }),
})

/** Every threshold and weight that is a judgement, checked once and typed. Names carry the unit. */
export type RuleSet = z.output<typeof RULE_SET>

/** Throws with every fault, each with its path, when the JSON is not a complete rule set. */
export function parseRuleSet(json: unknown): RuleSet {
  const parsed = RULE_SET.safeParse(json)
  if (parsed.success) return parsed.data
  const faults = parsed.error.issues.map((issue) => `${issue.path.join('.')}: ${issue.message}`)
  throw new Error(['The rule set is not usable:', ...faults].join('\n- '))
}
