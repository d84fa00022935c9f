import type { AssessedChild } from '../assessed-child.ts'
import type { AshworthGrade, Side } from '../child.ts'
import { ASHWORTH_GRADES, SIDES } from '../child.ts'
import type { ExclusionId } from './decision.ts'
import { isDisputed } from './disagreements.ts'
import { evidenceOfAll } from '../evidence.ts'
import type { Recorded } from '../facts.ts'
import { valueOf } from '../facts.ts'
import { type Message, say } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { Finding, Truth } from '../truth.ts'
import { anyOf, truth, truthOf } from '../truth.ts'

/** Where each exclusion points to. Our own judgement; the professional decides. */
export const PATHWAYS: Readonly<Record<ExclusionId, Message>> = {
  'raised-tone': say('pathway.raised-tone'),
  'rigid-foot': say('pathway.rigid-foot'),
  'fixed-calf': say('pathway.fixed-calf'),
  'skin-or-sensation': say('pathway.skin-or-sensation'),
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
  const found = (holds: Truth, because: Message): Finding => ({
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
  if (coded !== undefined) return found('yes', say('raised-tone.coded'))
  if (anyOf(reaches) === 'yes') return found('yes', say('raised-tone.calf', { limit }))
  if (anyOf(reaches) === 'no') return found('no', say('raised-tone.both-below', { limit }))
  if (otherPalsy !== undefined) return found('unknown', say('raised-tone.other-palsy'))
  if (disputed) return found('unknown', say('raised-tone.disputed'))
  if (!looked && (tone === 'low' || tone === 'normal'))
    return found('no', say('raised-tone.general-tone', { tone }))
  return found('unknown', say('raised-tone.not-graded', { tone: tone ?? 'unknown' }))
}

/**
 * Is the skin of this foot open, or is the foot without feeling? Common practice.
 *
 * `no` only when both were looked at.
 */
export function skinOrSensation(side: Side, { child }: Pick<AssessedChild, 'child'>): Finding {
  const { openSkin, insensate } = child.feet[side]
  const looked = (of: Recorded<boolean>, fact: string) =>
    isDisputed(child, `${fact}.${side}`) ? 'disputed' : truthOf(of)
  const holds = anyOf([truthOf(openSkin), truthOf(insensate)])
  return {
    rule: `skin-or-sensation.${side}`,
    holds,
    because: say(`skin-or-sensation.${holds}`, {
      side,
      skin: looked(openSkin, 'openSkin'),
      feeling: looked(insensate, 'insensate'),
    }),
    sources: ['common-practice'],
    evidence: evidenceOfAll([openSkin, insensate]),
  }
}

function reachesGrade(recorded: Recorded<AshworthGrade>, limit: AshworthGrade): Truth {
  const grade = valueOf(recorded)
  if (grade === undefined) return 'unknown'
  return truth(ASHWORTH_GRADES.indexOf(grade) >= ASHWORTH_GRADES.indexOf(limit))
}
