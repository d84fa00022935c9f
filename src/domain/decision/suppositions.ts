import type { AssessedChild } from '../assessed-child.ts'
import { ASHWORTH_GRADES, SIDES } from '../child.ts'
import { WEIGHT_BEARING } from './deciding-facts.ts'
import type { QuestionId } from './decision.ts'
import { valueOf } from '../facts.ts'
import { delayConcern } from './functional-concern.ts'
import { type Message, say } from '../messages/message.ts'
import { posturalSigns } from './postural-signs.ts'
import type { RedFlagId } from './red-flags.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import {
  type Supposed,
  supposedOfFoot,
  supposedSign,
  supposedSkill,
  supposedTone,
  supposedUncoded,
  supposedZ,
} from './supposed-fact.ts'
import { allOf, type Finding, truthOf } from '../truth.ts'

/** What if one question had another answer: a way to get there, in facts and in words. */
export interface Supposition {
  readonly rule: QuestionId | RedFlagId | 'walks-alone'
  readonly answer: 'yes' | 'no'
  readonly facts: readonly Supposed[]
  /** The condition: "if …". */
  readonly words: Message
  /** The questions that may be answered otherwise by it. */
  readonly bearsOn: readonly QuestionId[]
  /** What is found otherwise, apart from what the facts of the child lead to. */
  readonly found?: Partial<Pick<AssessedChild, 'ages' | 'milestones' | 'tempo' | 'ifPreterm'>>
}

/**
 * Which facts about the child as a whole would give a question its other answer? Age and
 * gestation are in ageSuppositions, the feet in footSuppositions, what divides `suitable` further in
 * reviewSuppositions.
 *
 * Several ways to one answer are all given. Whether a way leads there is for the rules to say: a fact
 * may be outweighed by another.
 */
export const suppositions = (assessed: AssessedChild, rules: RuleSet): readonly Supposition[] => [
  ...ofWeight(assessed),
  ...ofLowTone(assessed),
  ...ofRaisedTone(assessed, rules.suitability),
  ...ofConcern(assessed, rules.suitability),
]

function ofWeight({ milestones }: AssessedChild): readonly Supposition[] {
  const { statuses, skills, bearsWeight } = milestones
  const absent = [...statuses, ...skills].filter(({ finding }) => finding.holds === 'no')
  const names = absent.map((one) => ('skill' in one ? one.skill : one.milestone))
  const shown = WEIGHT_BEARING.filter(({ name }) => !names.includes(name))
  const suppose = (holds: 'yes' | 'no') => {
    const finding: Finding = { ...bearsWeight, holds }
    const found = { milestones: { ...milestones, bearsWeight: finding } }
    return { rule: 'bears-weight', answer: holds, bearsOn: ['bears-weight'], found } as const
  }
  const stands = supposedSkill('milestoneChecks.standing-with-assistance', true)
  const none = shown.map(({ list, name }) => supposedSkill(`${list}.${name}`, false))
  return [
    { ...suppose('yes'), facts: [stands], words: say('part.if-stands') },
    { ...suppose('no'), facts: none, words: say('part.if-no-weight') },
  ]
}

/** General tone is asked about twice: is it low, and is it raised at the calf? */
const OF_TONE: readonly QuestionId[] = ['low-tone', 'raised-tone']

const LOW = say('part.if-low-tone')

function ofLowTone({ child }: AssessedChild): readonly Supposition[] {
  const { tone, signs, diagnoses } = child
  const observed = valueOf(tone)
  const lax = allOf([truthOf(signs['generalised-laxity']), truthOf(signs['motor-concern'])])
  const none = [
    ...(diagnoses.hypotonia === undefined ? [] : [supposedUncoded('hypotonia')]),
    ...(observed === undefined || observed === 'low' ? [supposedTone('normal')] : []),
    ...(lax === 'no' ? [] : [supposedSign('generalised-laxity', false)]),
  ]
  const of = { rule: 'low-tone', bearsOn: OF_TONE } as const
  return [
    { ...of, answer: 'yes', facts: [supposedTone('low')], words: LOW },
    { ...of, answer: 'no', facts: none, words: say('part.if-not-low-tone') },
  ]
}

function ofRaisedTone(
  { child }: AssessedChild,
  { ashworthExclusion: limit }: RuleSet['suitability'],
): readonly Supposition[] {
  const calm = ASHWORTH_GRADES.slice(0, ASHWORTH_GRADES.indexOf(limit))
  const grades = SIDES.map((side) => ({ side, grade: valueOf(child.feet[side].ashworthCalf) }))
  const others = grades.filter(({ grade }) => grade === undefined || !calm.includes(grade))
  const spastic = child.diagnoses['spastic-cerebral-palsy']
  const uncoded = spastic === undefined ? [] : [supposedUncoded('spastic-cerebral-palsy')]
  const graded = others.map(({ side }) => supposedOfFoot(side, 'ashworthCalf', '0'))
  const of = { rule: 'raised-tone', bearsOn: OF_TONE } as const
  const words = say('part.if-not-raised-tone')
  return [
    {
      ...of,
      answer: 'yes',
      facts: [supposedOfFoot('left', 'ashworthCalf', limit)],
      words: say('part.if-raised-tone', { limit }),
    },
    {
      ...of,
      answer: 'no',
      facts: [...uncoded, supposedTone('low')],
      words: uncoded.length === 0 ? LOW : words,
    },
    { ...of, answer: 'no', facts: [...uncoded, ...graded], words },
  ]
}

/** Of any standardised test. */
const MEAN_Z = 0

function ofConcern(
  assessed: AssessedChild,
  limits: RuleSet['suitability'],
): readonly Supposition[] {
  const { standardisedZ, posturalSignsNeeded: needed, gaitSignMonthsAfterWalking } = limits
  const possible = posturalSigns(assessed, gaitSignMonthsAfterWalking)
    .filter(({ holds }) => holds !== 'no')
    .toSorted((a, b) => Number(b.holds === 'yes') - Number(a.holds === 'yes'))
  const tooMany = possible.slice(0, Math.max(0, possible.length - needed + 1))
  const delay = delayConcern(assessed, limits).holds !== 'no'
  const none: readonly Supposed[] = [
    ...(delay ? [supposedZ(MEAN_Z)] : []),
    ...tooMany.map(({ sign, counts }) => supposedSign(sign, !counts)),
  ]
  const of = { rule: 'functional-concern', bearsOn: ['functional-concern'] } as const
  return [
    {
      ...of,
      answer: 'yes',
      facts: [supposedZ(standardisedZ)],
      words: say('part.if-concern', { z: standardisedZ }),
    },
    { ...of, answer: 'no', facts: none, words: say('part.if-no-concern') },
  ]
}
