import type { AssessedChild } from '../assessed-child.ts'
import type { Child } from '../child.ts'
import { evidenceOfAll } from '../evidence.ts'
import { valueOf } from '../facts.ts'
import { say } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { Finding, Truth } from '../truth.ts'
import { allOf, anyOf, truth, truthOf } from '../truth.ts'

/**
 * Is the child of an age that the clinic sees, in months, both ends included? The age in use counts:
 * corrected for prematurity while correction lasts. `unknown` only while gestation is not recorded and a
 * child born early would be too young.
 */
export function ageInRange(
  { child, ages, ifPreterm }: Pick<AssessedChild, 'child' | 'ages' | 'ifPreterm'>,
  { serviceFromMonths: from, serviceToMonths: to }: RuleSet['age'],
): Finding {
  const inside = (age: number) => truth(age >= from && age <= to)
  const atTerm = inside(ages.months)
  const open = ifPreterm !== undefined && inside(ifPreterm.ages.months) !== atTerm
  const against = atTerm === 'yes' ? 'yes' : ages.months < from ? 'younger' : 'older'
  return {
    rule: 'age-in-range',
    holds: open ? 'unknown' : atTerm,
    because: say(`age-in-range.${open ? 'unknown' : against}`, {
      months: ages.months,
      used: ages.used,
      from,
      to,
    }),
    sources: ['judgement'],
    evidence: evidenceOfAll([child.birthDate, child.gestationDays]),
  }
}

/** Does the child stand with assistance or beyond, or pull to stand? As the milestones tell. */
export const bearsWeight = ({ milestones }: Pick<AssessedChild, 'milestones'>): Finding =>
  milestones.bearsWeight

/**
 * Is low tone documented, as a condition or an observation, or is there generalised laxity with motor
 * concern? Common practice.
 *
 * A tone observed normal or raised is an answer, `no`; a condition that nobody coded is not, and a coded
 * hypotonia beside a tone observed as raised leaves it open. Laxity is
 * the sign as reported: below 5 years no cut-off of the Beighton score is agreed, so none is applied.
 */
export function lowTone({ child }: Pick<AssessedChild, 'child'>): Finding {
  const { diagnoses, tone, signs } = child
  const laxity = signs['generalised-laxity']
  const concern = signs['motor-concern']
  const laxWithConcern = allOf([truthOf(laxity), truthOf(concern)])
  const holds = anyOf([hypotonia({ child }), laxWithConcern])
  return {
    rule: 'low-tone',
    holds,
    because: say('low-tone.found', {
      holds,
      tone: documentedTone({ child }),
      laxity: truthOf(laxity),
      concern: truthOf(concern),
    }),
    sources: ['common-practice'],
    evidence: evidenceOfAll([diagnoses.hypotonia ?? 'unknown', tone, laxity, concern]),
  }
}

/** A coded hypotonia beside a tone that was observed as raised: one of them is wrong. */
const contradicted = ({ diagnoses, tone }: Child): boolean =>
  diagnoses.hypotonia !== undefined && valueOf(tone) === 'raised'

function hypotonia({ child }: Pick<AssessedChild, 'child'>): Truth {
  if (contradicted(child)) return 'unknown'
  if (child.diagnoses.hypotonia !== undefined) return 'yes'
  const tone = valueOf(child.tone)
  return tone === undefined ? 'unknown' : truth(tone === 'low')
}

function documentedTone({ child }: Pick<AssessedChild, 'child'>): string {
  if (contradicted(child)) return 'contradicted'
  return child.diagnoses.hypotonia !== undefined ? 'coded' : (valueOf(child.tone) ?? 'unknown')
}
