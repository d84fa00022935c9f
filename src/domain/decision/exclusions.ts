import type { AssessedChild } from '../assessed-child.ts'
import type { AshworthGrade, Side } from '../child.ts'
import { ASHWORTH_GRADES, SIDES } from '../child.ts'
import type { ExclusionId } from './decision.ts'
import { isDisputed } from './disagreements.ts'
import { evidenceOfAll } from '../evidence.ts'
import type { Recorded } from '../facts.ts'
import { valueOf } from '../facts.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { Finding, Truth } from '../truth.ts'
import { anyOf, truth, truthOf } from '../truth.ts'
import { listed, sentence } from '../wording.ts'

/** Where each exclusion points to. Our own judgement; the professional decides. */
export const PATHWAYS: Readonly<Record<ExclusionId, string>> = {
  'raised-tone':
    'Raised tone: paediatric neurology or a spasticity clinic; a flexible device cannot hold an overactive calf',
  'rigid-foot': 'Rigid foot: paediatric orthopaedics, before any orthosis',
  'fixed-calf':
    'Calf that does not reach neutral: paediatric orthopaedics or physiotherapy for the calf first',
  'skin-or-sensation':
    'Open skin or a foot without feeling: treat the skin or have sensation assessed first, then refer again',
}

/**
 * Is tone raised at the calf (Modified Ashworth at or above the limit on either side), or is spastic
 * cerebral palsy coded? Common practice.
 *
 * `no` needs somebody to have looked: both calves graded below the limit, or tone observed low or normal
 * while no calf was graded. Grades that contradict each other, or one calf without the other, are not
 * outweighed by general tone. A condition that nobody coded answers nothing. Tone observed as raised is
 * not yet raised at the calf, and cerebral palsy of another or no stated type may be: both leave it
 * `unknown` until the calves are graded.
 *
 * @see SOURCES ashworth-1987
 */
export function raisedTone(
  { child }: Pick<AssessedChild, 'child'>,
  limits: RuleSet['suitability'],
): Finding {
  const coded = child.diagnoses['spastic-cerebral-palsy']
  const calves = SIDES.map((side) => child.feet[side].ashworthCalf)
  const tone = valueOf(child.tone)
  const found = (holds: Truth, because: string): Finding => ({
    rule: 'raised-tone',
    holds,
    because,
    sources: ['common-practice', 'ashworth-1987'],
    evidence: evidenceOfAll([
      coded ?? 'unknown',
      child.diagnoses['cerebral-palsy'] ?? 'unknown',
      child.tone,
      ...calves,
    ]),
  })
  const otherPalsy = child.diagnoses['cerebral-palsy']
  const disputed = SIDES.some((side) => isDisputed(child, `ashworthCalf.${side}`))
  const looked = disputed || calves.some((grade) => grade !== 'unknown')
  const limit = limits.ashworthExclusion
  const reaches = calves.map((grade) => reachesGrade(grade, limit))
  if (coded !== undefined) return found('yes', 'Spastic cerebral palsy is coded')
  if (anyOf(reaches) === 'yes') return found('yes', `A calf is graded Ashworth ${limit} or above`)
  if (anyOf(reaches) === 'no') return found('no', `Both calves are graded below Ashworth ${limit}`)
  if (otherPalsy !== undefined)
    return found('unknown', 'Cerebral palsy is coded and not both calves are graded')
  if (disputed)
    return found('unknown', 'Two grades of a calf of the same day contradict each other')
  if (!looked && (tone === 'low' || tone === 'normal'))
    return found('no', `Muscle tone was observed as ${tone}, and no calf was graded`)
  const general =
    tone === undefined ? 'Muscle tone is not recorded' : `Tone was observed as ${tone}`
  return found('unknown', `${general} and not both calves are graded`)
}

/**
 * Is the skin of this foot open, or is the foot without feeling? Common practice.
 *
 * `no` only when both were looked at.
 */
export function skinOrSensation(side: Side, { child }: Pick<AssessedChild, 'child'>): Finding {
  const { openSkin, insensate } = child.feet[side]
  const parts = [
    { words: 'open skin', of: openSkin, fact: `openSkin.${side}` },
    { words: 'loss of feeling', of: insensate, fact: `insensate.${side}` },
  ].map(({ words, of, fact }) => ({
    words,
    holds: truthOf(of),
    disputed: isDisputed(child, fact),
  }))
  const named = (holds: Truth, disputed = false) =>
    listed(
      parts
        .filter((part) => part.holds === holds && part.disputed === disputed)
        .map(({ words }) => words),
    )
  const because = [
    ['recorded', named('yes')],
    ['looked for and not there', named('no')],
    ['recorded both ways on one day', named('unknown', true)],
    ['not recorded', named('unknown')],
  ]
    .filter(([, names]) => names !== '')
    .map(([says, names]) => `${names} ${says}`)
  return {
    rule: `skin-or-sensation.${side}`,
    holds: anyOf(parts.map(({ holds }) => holds)),
    because: sentence(`${side} foot: ${because.join('; ')}`),
    sources: ['common-practice'],
    evidence: evidenceOfAll([openSkin, insensate]),
  }
}

function reachesGrade(recorded: Recorded<AshworthGrade>, limit: AshworthGrade): Truth {
  const grade = valueOf(recorded)
  if (grade === undefined) return 'unknown'
  return truth(ASHWORTH_GRADES.indexOf(grade) >= ASHWORTH_GRADES.indexOf(limit))
}
