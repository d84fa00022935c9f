import { ageOn } from '../development/age.ts'
import type { AssessedChild } from '../assessed-child.ts'
import { SIDES, type RedFlagSign } from '../child.ts'
import { evidenceOfAll, uniqueEvidence } from '../evidence.ts'
import type { Recorded } from '../facts.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { SourceId } from '../tables/sources.ts'
import type { Finding, Truth } from '../truth.ts'
import { allOf, anyOf, not, truth, truthOf } from '../truth.ts'
import { sentence, tenths } from '../wording.ts'

type Asked = Pick<AssessedChild, 'child' | 'ages' | 'milestones'>

/**
 * Which signs does a physician have to see first?
 *
 * Each is present, absent or `unknown`. A red flag nobody mentioned is `unknown` and is said to be not
 * recorded; it is never reported as absent. It does not hold the outcome back either: criteria and
 * exclusions decide that, and eleven further questions before every answer would bury those that
 * matter. That choice is our own judgement.
 *
 * @see SOURCES flexibility-tests, knee-angle-turkey, late-walking-1984; the others are common practice
 */
export const redFlags = (asked: Asked, rules: RuleSet): readonly Finding[] =>
  Object.values(RED_FLAG_RULES).map((rule) => rule(asked, rules))

/** Each by its identifier, in the order in which a reader wants to see them. */
export const RED_FLAG_RULES = {
  regression,
  'one-sided-weakness': asReported('one-sided-weakness', 'One-sided weakness'),
  'early-hand-preference': earlyHandPreference,
  'pain-or-swelling': asReported('pain-or-swelling', 'Pain or swelling'),
  'gowers-sign': asReported('gowers-sign', 'Gowers sign'),
  'weakness-with-absent-reflexes': weaknessWithAbsentReflexes,
  'rising-tone-or-clonus': asReported('rising-tone-or-clonus', 'Rising tone or clonus'),
  'late-walking-without-review': lateWalkingWithoutReview,
  'stiff-hindfoot': stiffHindfoot,
  'knee-angle': kneeAngle,
  'fever-or-new-limp': asReported('fever-or-new-limp', 'Fever or a new limp'),
} as const satisfies Readonly<Record<string, (asked: Asked, rules: RuleSet) => Finding>>
export type RedFlagId = keyof typeof RED_FLAG_RULES

function asReported(rule: RedFlagSign, name: string) {
  return ({ child }: Asked): Finding => reported(rule, name, [child.redFlags[rule]])
}

const SAYS: Readonly<Record<Truth, string>> = {
  yes: 'recorded',
  no: 'looked for and not there',
  unknown: 'not recorded',
}

/** A sign as somebody reported it, on any of the places where it may be recorded. */
function reported(rule: string, name: string, records: readonly Recorded<boolean>[]): Finding {
  const holds = anyOf(records.map(truthOf))
  const because = `${name}: ${SAYS[holds]}`
  return { rule, holds, because, sources: ['common-practice'], evidence: evidenceOfAll(records) }
}

/** A skill lost, as reported or as dated milestone checks show. */
function regression({ child, milestones }: Asked): Finding {
  const sign = child.redFlags['loss-of-skills']
  const shown = milestones.regression
  return {
    rule: 'regression',
    holds: anyOf([shown.holds, truthOf(sign)]),
    because: `Loss of skills: ${SAYS[truthOf(sign)]}. ${sentence(shown.because)}`,
    sources: ['common-practice'],
    evidence: uniqueEvidence([shown.evidence, evidenceOfAll([sign])]),
  }
}

/** Seen before the age, in months, corrected if it was on that day. Seen first at a later age, nothing is said about the time before. */
function earlyHandPreference({ child }: Asked, rules: RuleSet): Finding {
  const sign = child.redFlags['hand-preference']
  const before = rules.suitability.handPreferenceBeforeMonths
  const found = (holds: Truth, because: string): Finding => ({
    rule: 'early-hand-preference',
    holds,
    because,
    sources: ['common-practice'],
    evidence: evidenceOfAll([sign]),
  })
  if (sign === 'unknown' || !sign.value)
    return found(truthOf(sign), `Hand preference: ${SAYS[truthOf(sign)]}`)
  const age = ageOn(child, sign.on, rules)
  if (age < before)
    return found('yes', `Hand preference at ${tenths(age)} months, before ${before} months`)
  return found(
    'unknown',
    `Hand preference, first recorded after ${before} months; before: not recorded`,
  )
}

function weaknessWithAbsentReflexes({ child: { redFlags: signs } }: Asked): Finding {
  const weakness = signs['marked-weakness']
  const reflexes = signs['absent-reflexes']
  return {
    rule: 'weakness-with-absent-reflexes',
    holds: allOf([truthOf(weakness), truthOf(reflexes)]),
    because: `Marked weakness: ${SAYS[truthOf(weakness)]}; absent reflexes: ${SAYS[truthOf(reflexes)]}`,
    sources: ['common-practice'],
    evidence: evidenceOfAll([weakness, reflexes]),
  }
}

/**
 * Not walking alone at the age of review, months in the age in use, and no medical review on record.
 * The rule asks what is on record, so nothing on record is its answer and not a gap.
 */
function lateWalkingWithoutReview({ child, ages, milestones }: Asked, rules: RuleSet): Finding {
  const from = rules.suitability.walkingReviewMonths
  const reviewed = truth(child.medicalReview !== 'unknown' && child.medicalReview.value)
  const old = truth(ages.months >= from)
  const walks = milestones.walksAlone
  return {
    rule: 'late-walking-without-review',
    holds: allOf([old, not(walks.holds), not(reviewed)]),
    because: `Walks alone: ${walks.holds}, at ${tenths(ages.months)} months (review from ${from}); medical review on record: ${reviewed}`,
    sources: ['late-walking-1984'],
    evidence: uniqueEvidence([walks.evidence, evidenceOfAll([child.medicalReview])]),
  }
}

function stiffHindfoot({ child }: Asked): Finding {
  const records = SIDES.map((side) => child.feet[side].rockerBottomOrStiffHindfoot)
  const sources: readonly SourceId[] = ['flexibility-tests']
  return { ...reported('stiff-hindfoot', 'Rocker-bottom or stiff hindfoot', records), sources }
}

/**
 * Varus, or valgus above the limit (degrees, valgus positive), on either side from the age of the norm.
 * An angle measured earlier says nothing about the age where the limit applies.
 */
function kneeAngle({ child, ages }: Asked, rules: RuleSet): Finding {
  const { kneeAngleFromMonths: from, kneeValgusLimitDegrees: limit } = rules.suitability
  const records = SIDES.map((side) => child.feet[side].kneeAngle)
  const found = (holds: Truth, because: string): Finding => ({
    rule: 'knee-angle',
    holds,
    because,
    sources: ['knee-angle-turkey'],
    evidence: evidenceOfAll(records),
  })
  if (ages.months < from) return found('no', `The limit applies from ${from} months`)
  const beyond = records.map((angle) =>
    angle === 'unknown' || ageOn(child, angle.on, rules) < from
      ? 'unknown'
      : truth(!(angle.value >= 0 && angle.value <= limit)),
  )
  const words = {
    yes: `a knee is in varus or above ${limit} degrees of valgus`,
    no: `both knees within 0 to ${limit} degrees of valgus`,
    unknown: `not recorded for both knees since ${from} months`,
  }
  const holds = anyOf(beyond)
  return found(holds, `Knee angle: ${words[holds]}`)
}
