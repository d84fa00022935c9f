import { ageOn } from '../development/age.ts'
import type { AssessedChild } from '../assessed-child.ts'
import { SIDES, type RedFlagSign } from '../child.ts'
import { evidenceOfAll, uniqueEvidence } from '../evidence.ts'
import type { Recorded } from '../facts.ts'
import { type Message, say, together } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { SourceId } from '../tables/sources.ts'
import type { Finding, Truth } from '../truth.ts'
import { allOf, anyOf, not, truth, truthOf } from '../truth.ts'

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
  'one-sided-weakness': asReported('one-sided-weakness', (holds) =>
    say(`one-sided-weakness.${holds}`),
  ),
  'early-hand-preference': earlyHandPreference,
  'pain-or-swelling': asReported('pain-or-swelling', (holds) => say(`pain-or-swelling.${holds}`)),
  'gowers-sign': asReported('gowers-sign', (holds) => say(`gowers-sign.${holds}`)),
  'weakness-with-absent-reflexes': weaknessWithAbsentReflexes,
  'rising-tone-or-clonus': asReported('rising-tone-or-clonus', (holds) =>
    say(`rising-tone-or-clonus.${holds}`),
  ),
  'late-walking-without-review': lateWalkingWithoutReview,
  'stiff-hindfoot': stiffHindfoot,
  'knee-angle': kneeAngle,
  'fever-or-new-limp': asReported('fever-or-new-limp', (holds) =>
    say(`fever-or-new-limp.${holds}`),
  ),
} as const satisfies Readonly<Record<string, (asked: Asked, rules: RuleSet) => Finding>>
export type RedFlagId = keyof typeof RED_FLAG_RULES

export const isRedFlag = (rule: string): rule is RedFlagId => Object.hasOwn(RED_FLAG_RULES, rule)

function asReported(rule: RedFlagSign, says: Says) {
  return ({ child }: Asked): Finding => reported(rule, says, [child.redFlags[rule]])
}

/** The sentence for each answer: recorded, looked for and not there, not recorded. */
type Says = (holds: Truth) => Message

/** A sign as somebody reported it, on any of the places where it may be recorded. */
function reported(rule: string, says: Says, records: readonly Recorded<boolean>[]): Finding {
  const holds = anyOf(records.map(truthOf))
  return {
    rule,
    holds,
    because: says(holds),
    sources: ['common-practice'],
    evidence: evidenceOfAll(records),
  }
}

/** A skill lost, as reported or as dated milestone checks show. */
function regression({ child, milestones }: Asked): Finding {
  const sign = child.redFlags['loss-of-skills']
  const shown = milestones.regression
  const reported = truthOf(sign)
  const holds = anyOf([shown.holds, reported])
  return {
    rule: 'regression',
    holds,
    because: together([say(`loss-of-skills.${holds}`, { reported }), shown.because]),
    sources: ['common-practice'],
    evidence: uniqueEvidence([shown.evidence, evidenceOfAll([sign])]),
  }
}

/** Seen before the age, in months, corrected if it was on that day. Seen first at a later age, nothing is said about the time before. */
function earlyHandPreference({ child }: Asked, rules: RuleSet): Finding {
  const sign = child.redFlags['hand-preference']
  const before = rules.suitability.handPreferenceBeforeMonths
  const found = (holds: Truth, because: Message): Finding => ({
    rule: 'early-hand-preference',
    holds,
    because,
    sources: ['common-practice'],
    evidence: evidenceOfAll([sign]),
  })
  if (sign === 'unknown') return found('unknown', say('early-hand-preference.unknown', { before }))
  if (!sign.value) return found('no', say('early-hand-preference.no'))
  const age = ageOn(child, sign.on, rules)
  return age < before
    ? found('yes', say('early-hand-preference.yes', { months: age, before }))
    : found('unknown', say('early-hand-preference.seen-later', { before }))
}

function weaknessWithAbsentReflexes({ child: { redFlags: signs } }: Asked): Finding {
  const weakness = signs['marked-weakness']
  const reflexes = signs['absent-reflexes']
  const shown = { weakness: truthOf(weakness), reflexes: truthOf(reflexes) }
  const holds = allOf(Object.values(shown))
  return {
    rule: 'weakness-with-absent-reflexes',
    holds,
    because: say(`weakness-with-absent-reflexes.${holds}`, shown),
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
  const holds = allOf([old, not(walks.holds), not(reviewed)])
  return {
    rule: 'late-walking-without-review',
    holds,
    because: say(`late-walking-without-review.${holds}`, {
      walks: walks.holds,
      months: ages.months,
      from,
      reviewed,
    }),
    sources: ['late-walking-1984'],
    evidence: uniqueEvidence([walks.evidence, evidenceOfAll([child.medicalReview])]),
  }
}

function stiffHindfoot({ child }: Asked): Finding {
  const records = SIDES.map((side) => child.feet[side].rockerBottomOrStiffHindfoot)
  const sources: readonly SourceId[] = ['flexibility-tests']
  const says: Says = (holds) => say(`stiff-hindfoot.${holds}`)
  return { ...reported('stiff-hindfoot', says, records), sources }
}

/**
 * Varus, or valgus above the limit (degrees, valgus positive), on either side from the age of the norm.
 * An angle measured earlier says nothing about the age where the limit applies.
 */
function kneeAngle({ child, ages }: Asked, rules: RuleSet): Finding {
  const { kneeAngleFromMonths: from, kneeValgusLimitDegrees: limit } = rules.suitability
  const records = SIDES.map((side) => child.feet[side].kneeAngle)
  const found = (holds: Truth, because: Message): Finding => ({
    rule: 'knee-angle',
    holds,
    because,
    sources: ['knee-angle-turkey'],
    evidence: evidenceOfAll(records),
  })
  if (ages.months < from) return found('no', say('knee-angle.too-young', { from }))
  const beyond = records.map((angle) =>
    angle === 'unknown' || ageOn(child, angle.on, rules) < from
      ? 'unknown'
      : truth(!(angle.value >= 0 && angle.value <= limit)),
  )
  const holds = anyOf(beyond)
  return found(holds, say(`knee-angle.${holds}`, { from, limit }))
}
