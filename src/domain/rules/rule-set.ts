import { z } from 'zod'
import { ASHWORTH_GRADES } from '../child.ts'
import { incoherences } from './rule-set-coherence.ts'
import {
  angle,
  choice,
  count,
  days,
  deadlineSettings,
  estimatedDelay,
  fpiItem,
  fpiSum,
  hours,
  millimetres,
  minutes,
  months,
  percent,
  points,
  probability,
  quantile,
  ratio,
  spread,
  standardScore,
  timerSettings,
  weeks,
  weeksInOrder,
  years,
} from './rule-set-settings.ts'

const SETTINGS = z.strictObject({
  id: z.string().regex(/^[A-Za-z0-9.-]{1,64}$/),
  version: z.string().regex(/^[A-Za-z0-9.-]{1,64}$/),
  title: z.string().min(1),
  status: z.enum(['draft', 'active', 'retired']),
  note: z.string().optional(),
  age: z.strictObject({
    termFromDays: days,
    fullTermDays: days,
    correctUntilMonths: months,
    gestationMinDays: days,
    gestationMaxDays: days,
    unknownGestationDays: days,
    maxAgeYears: years,
    serviceFromMonths: months,
    serviceToMonths: months,
  }),
  milestones: z.strictObject({
    priorSdReferred: spread,
    priorSdSceptical: spread,
    scepticalDifferencePoints: percent,
    caregiverDateDays: days,
    ceilingAgeMonths: months,
    intervalLow: quantile,
    intervalHigh: quantile,
    expectedLow: quantile,
    expectedHigh: quantile,
    walkingPrognosisMonths: months,
    forecastHorizonMonths: months,
  }),
  posture: z.strictObject({
    fpiItemMet: fpiItem,
    fpiItemMarked: fpiItem,
    heelEversionMetDegrees: angle,
    heelEversionMarkedDegrees: angle,
    navicularDropMetMm: millimetres,
    navicularDropMarkedMm: millimetres,
    fpiZFromMonths: months,
    ankleFlagDegrees: angle,
    ankleStopDegrees: angle,
  }),
  suitability: z.strictObject({
    delayPercent: estimatedDelay,
    delayProbability: probability,
    standardisedZ: standardScore,
    posturalSignsNeeded: count,
    gaitSignMonthsAfterWalking: months,
    ashworthExclusion: choice(ASHWORTH_GRADES),
    handPreferenceBeforeMonths: months,
    walkingReviewMonths: months,
    kneeAngleFromMonths: months,
    kneeValgusLimitDegrees: angle,
    recheckMinDays: days,
    recheckMaxDays: days,
    trialReviewWeeksFrom: weeks,
    trialReviewWeeksTo: weeks,
  }),
  urgency: z.strictObject({
    delay25Points: points,
    delay33Points: points,
    delay50Points: points,
    delay25Z: standardScore,
    delay33Z: standardScore,
    delay50Z: standardScore,
    stalledPoints: points,
    stalledFromRatio: ratio,
    stalledToRatio: ratio,
    pronationPoints: points,
    pronationPerPlane: points,
    pronationFpiPoints: points,
    pronationFpiFrom: fpiSum,
    pronationFpiTo: fpiSum,
    windowPoints: points,
    windowFullUntilMonths: months,
    windowZeroFromMonths: months,
    safetyPoints: points,
    safetyFalls: points,
    safetyToeRising: points,
    safetyRefusal: points,
    waitingPoints: points,
    waitingFullDays: days,
    urgentFrom: points,
    asapFrom: points,
    routineDays: days,
    urgentDays: days,
    asapDays: days,
  }),
  sizing: z.strictObject({
    unloadedGainLowPercent: percent,
    unloadedGainHighPercent: percent,
    plausibleZ: standardScore,
    shoeDisagreementMm: millimetres,
    growthReserveMm: millimetres,
    medialClearanceMm: millimetres,
    lateralClearanceMm: millimetres,
    closureGapMm: millimetres,
    closureGapToleranceMm: millimetres,
    trimToleranceMm: millimetres,
  }),
  growth: z.strictObject({
    ownRateMinDays: days,
    horizonMonths: months,
    lowPercentile: quantile,
    highPercentile: quantile,
  }),
  fitting: z.strictObject({
    wearStartMinutesLow: minutes,
    wearStartMinutesHigh: minutes,
    wearTargetHours: hours,
    wearTargetDayLow: days,
    wearTargetDayHigh: days,
    barefootMinutes: minutes,
    rednessTellMinutes: minutes,
    rednessStopMinutes: minutes,
    followUpWeeks: weeksInOrder,
    planMonths: months,
    reviewMonthsUnder3: months,
    reviewMonthsFrom3: months,
    reviewMonthsFrom3Low: months,
    shoeSizesUp: ratio,
    heelHeightMaxMm: millimetres,
    deliveryAfterDays: days,
  }),
  deadlines: deadlineSettings,
  timers: timerSettings,
  followUp: z.strictObject({
    priorSdChange: spread,
    gainProbability: probability,
    stalledWeeks: weeks,
    lookDays: days,
    wearTolerancePercent: percent,
  }),
})

/** Every threshold and weight that is a judgement, checked once and typed. Names carry the unit. */
export type RuleSet = z.output<typeof SETTINGS>

const RULE_SET = SETTINGS.superRefine((rules, context) => {
  for (const { path, text } of incoherences(rules))
    context.addIssue({ code: 'custom', path: path.split('.'), message: text })
})

export interface RuleSetFault {
  /** Where in the JSON, for instance `urgency.urgentFrom.value`; empty for the whole. */
  readonly path: string
  readonly text: string
}

export type RuleSetReading =
  | { readonly ok: true; readonly rules: RuleSet }
  | { readonly ok: false; readonly faults: readonly RuleSetFault[] }

/** Reads a rule set from JSON; the faults say all that is wrong at once, each with its place. */
export function readRuleSet(json: unknown): RuleSetReading {
  const parsed = RULE_SET.safeParse(json)
  if (parsed.success) return { ok: true, rules: parsed.data }
  const { issues } = parsed.error
  return {
    ok: false,
    faults: issues.map((one) => ({ path: one.path.join('.'), text: one.message })),
  }
}

/** The same for a rule set that must be usable: throws with every fault. */
export function parseRuleSet(json: unknown): RuleSet {
  const reading = readRuleSet(json)
  if (reading.ok) return reading.rules
  const faults = reading.faults.map(({ path, text }) => `${path}: ${text}`)
  throw new Error(['The rule set is not usable:', ...faults].join('\n- '))
}
