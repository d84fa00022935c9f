import { codesOf, SYSTEMS } from './codes.ts'

const observation = codesOf(SYSTEMS.observation)

/** What the service computes. */
export const FINDING_CODES = {
  chronologicalAge: observation('chronological-age', 'Chronological age'),
  correctedAge: observation('corrected-age', 'Age corrected for prematurity'),
  milestonePercentile: observation('milestone-percentile', 'Milestone percentile'),
  tempo: observation('motor-tempo', 'Tempo of gross motor development'),
  tempoInterval: observation('motor-tempo-interval', 'Tempo, 90 % interval'),
  ageEquivalent: observation('age-equivalent', 'Age equivalent'),
  milestoneDelay: observation('milestone-delay-estimate', 'Milestone delay estimate'),
  milestoneDelayInterval: observation('milestone-delay-interval', 'Delay, 90 % interval'),
  simpleAgeEquivalent: observation('simple-age-equivalent', 'Age equivalent of the last milestone'),
  scepticalDelay: observation('sceptical-delay', 'Delay, sceptical reading'),
  footPosture: observation('foot-posture', 'Foot posture in three planes'),
  fpiSum: observation('fpi-sum', 'Foot Posture Index, sum'),
  fpiRange: observation('fpi-range', 'Foot Posture Index, possible range'),
  fpiZ: observation('fpi-z', 'Foot Posture Index, z'),
  suitability: observation('orthosis-suitability', 'Suitability for a supramalleolar orthosis'),
  urgency: observation('referral-urgency', 'Urgency of the referral'),
  urgencyRange: observation('urgency-range', 'Urgency, possible range'),
  deviceSize: observation('device-size', 'Device size'),
  closureGap: observation('closure-gap', 'Closure gap'),
  trimMedial: observation('trim-medial', 'To trim at the medial edge'),
  trimLateral: observation('trim-lateral', 'To trim at the lateral edge'),
  refitDate: observation('refit-date', 'Expected refit date'),
  refitRange: observation('refit-range', 'Expected refit date, 80 % range'),
  recheckDate: observation('recheck-date', 'To be seen again on'),
  seeBy: observation('see-by', 'To be seen by'),
  otherOutcome: observation('other-outcome', 'What would change the outcome'),
  expectedMilestone: observation('expected-milestone', 'Expected date of the next milestone'),
  expectedRange: observation('expected-range', 'Expected date, 80 % interval'),
  describedSkill: observation('described-skills', 'Motor skills without a reference'),
  fpiSideDifference: observation('fpi-side-difference', 'Foot Posture Index, side difference'),
  sizesToComeUntil: observation('sizes-until', 'Sizes needed until an age'),
  missing: observation('missing-observation', 'Observation that would decide'),
} as const
