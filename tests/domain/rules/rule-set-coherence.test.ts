import { expect, test } from 'vitest'
import { incoherences } from '../../../src/domain/rules/rule-set-coherence.ts'
import { RULES } from '../../helpers/rules.ts'

type Section = 'age' | 'milestones' | 'posture' | 'suitability' | 'urgency'
type Later = 'sizing' | 'growth' | 'fitting'

const withSettings = (section: Section | Later, settings: Readonly<Record<string, number>>) => ({
  ...RULES,
  [section]: { ...RULES[section], ...settings },
})
const pathsOf = (section: Section | Later, settings: Readonly<Record<string, number>>) =>
  incoherences(withSettings(section, settings)).map(({ path }) => path)

test('the shipped rule set contradicts itself nowhere', () => {
  expect(incoherences(RULES)).toEqual([])
})

test.each([
  ['age', { gestationMinDays: 196, termFromDays: 196 }, 'age.termFromDays'],
  ['age', { fullTermDays: 308 }, 'age.gestationMaxDays'],
  ['age', { serviceFromMonths: 72 }, 'age.serviceToMonths'],
  ['milestones', { priorSdSceptical: 0.4 }, 'milestones.priorSdReferred'],
  ['milestones', { intervalLow: 0.95 }, 'milestones.intervalHigh'],
  ['milestones', { expectedLow: 0.9 }, 'milestones.expectedHigh'],
  ['posture', { ankleStopDegrees: 10 }, 'posture.ankleFlagDegrees'],
  ['urgency', { stalledFromRatio: 3 }, 'urgency.stalledToRatio'],
  ['urgency', { pronationFpiFrom: 12 }, 'urgency.pronationFpiTo'],
  ['urgency', { windowFullUntilMonths: 60 }, 'urgency.windowZeroFromMonths'],
  ['urgency', { urgentFrom: 70 }, 'urgency.asapFrom'],
  ['growth', { lowPercentile: 0.9 }, 'growth.highPercentile'],
] as const)('in %s %o is refused: the two may not be equal', (section, settings, path) => {
  expect(pathsOf(section, settings)).toEqual([path])
})

test.each([
  ['milestones', { priorSdSceptical: 0.39 }],
  ['posture', { ankleStopDegrees: 9 }],
  ['urgency', { urgentFrom: 69 }],
  ['urgency', { windowFullUntilMonths: 59 }],
  ['age', { serviceFromMonths: 71 }],
] as const)('in %s %o, just below the next, is taken', (section, settings) => {
  expect(pathsOf(section, settings)).toEqual([])
})

test.each([
  ['age', { unknownGestationDays: 309 }, 'age.gestationMaxDays', { unknownGestationDays: 308 }],
  ['age', { unknownGestationDays: 153 }, 'age.unknownGestationDays', { unknownGestationDays: 154 }],
  ['posture', { fpiItemMarked: 0 }, 'posture.fpiItemMarked', { fpiItemMarked: 1 }],
  [
    'posture',
    { heelEversionMarkedDegrees: 4 },
    'posture.heelEversionMarkedDegrees',
    { heelEversionMarkedDegrees: 5 },
  ],
  [
    'posture',
    { navicularDropMarkedMm: 9 },
    'posture.navicularDropMarkedMm',
    { navicularDropMarkedMm: 10 },
  ],
  ['suitability', { recheckMinDays: 183 }, 'suitability.recheckMaxDays', { recheckMinDays: 182 }],
  [
    'suitability',
    { trialReviewWeeksTo: 3 },
    'suitability.trialReviewWeeksTo',
    { trialReviewWeeksTo: 4 },
  ],
  ['urgency', { delay33Z: -3.1 }, 'urgency.delay33Z', { delay33Z: -3 }],
  ['urgency', { asapDays: 15 }, 'urgency.urgentDays', { asapDays: 14 }],
  ['urgency', { routineDays: 13 }, 'urgency.routineDays', { routineDays: 14 }],
  [
    'sizing',
    { unloadedGainLowPercent: 4.9 },
    'sizing.unloadedGainHighPercent',
    { unloadedGainLowPercent: 4.8 },
  ],
  ['sizing', { closureGapToleranceMm: 14 }, 'sizing.closureGapMm', { closureGapToleranceMm: 13 }],
  [
    'fitting',
    { wearStartMinutesLow: 61 },
    'fitting.wearStartMinutesHigh',
    { wearStartMinutesLow: 60 },
  ],
  ['fitting', { wearTargetDayLow: 15 }, 'fitting.wearTargetDayHigh', { wearTargetDayLow: 14 }],
  ['fitting', { rednessTellMinutes: 31 }, 'fitting.rednessStopMinutes', { rednessTellMinutes: 30 }],
  ['fitting', { reviewMonthsFrom3: 3 }, 'fitting.reviewMonthsFrom3', { reviewMonthsFrom3: 4 }],
  ['fitting', { wearTargetHours: 0.9 }, 'fitting.wearTargetHours', { wearTargetHours: 1 }],
  ['age', { maxAgeYears: 5 }, 'age.serviceToMonths', { maxAgeYears: 6 }],
] as const)('in %s %o is refused, equal is taken', (section, wrong, path, right) => {
  expect(pathsOf(section, wrong)).toEqual([path])
  expect(pathsOf(section, right)).toEqual([])
})

test('the points of all contributions add up to 100', () => {
  expect(pathsOf('urgency', { waitingPoints: 6 })).toEqual(['urgency'])
  expect(pathsOf('urgency', { waitingPoints: 4 })).toEqual(['urgency'])
  expect(pathsOf('urgency', { waitingPoints: 6, windowPoints: 14 })).toEqual([])
})

test('the parts of a contribution add up to it', () => {
  expect(pathsOf('urgency', { pronationPerPlane: 5 })).toEqual(['urgency.pronationPoints'])
  expect(pathsOf('urgency', { pronationPerPlane: 5, pronationFpiPoints: 5 })).toEqual([])
  expect(pathsOf('urgency', { safetyFalls: 5 })).toEqual(['urgency.safetyPoints'])
  expect(pathsOf('urgency', { safetyFalls: 5, safetyRefusal: 2 })).toEqual([])
})

test('a fault says what it contradicts, and numbers that are none are refused', () => {
  expect(incoherences(withSettings('urgency', { urgentFrom: 70 }))[0]?.text).toBe(
    'must be above urgency.urgentFrom',
  )
  expect(pathsOf('urgency', { urgentFrom: Number.NaN })).toEqual(['urgency.asapFrom'])
})
