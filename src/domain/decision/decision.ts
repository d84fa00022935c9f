import type { Side } from '../child.ts'
import type { Truth } from '../truth.ts'
import { allOf, anyOf, not } from '../truth.ts'

export const CRITERIA = [
  'age-in-range',
  'bears-weight',
  'low-tone',
  'excessive-pronation',
  'flexible-foot',
  'functional-concern',
] as const
export type CriterionId = (typeof CRITERIA)[number]

export const EXCLUSIONS = ['raised-tone', 'rigid-foot', 'fixed-calf', 'skin-or-sensation'] as const
export type ExclusionId = (typeof EXCLUSIONS)[number]

/** The questions of which every criterion and exclusion is made; none follows from the others. */
export const QUESTIONS = [
  'age-in-range',
  'bears-weight',
  'low-tone',
  'excessive-pronation.left',
  'excessive-pronation.right',
  'flexible-foot.left',
  'flexible-foot.right',
  'functional-concern',
  'raised-tone',
  'fixed-calf.left',
  'fixed-calf.right',
  'skin-or-sensation.left',
  'skin-or-sensation.right',
] as const
export type QuestionId = (typeof QUESTIONS)[number]
export type Answers = Readonly<Record<QuestionId, Truth>>

/** Before red flags and walking are looked at, which divide `suitable` further. */
export type Decision = 'unsuitable' | 'watch' | 'undetermined' | 'suitable'

/**
 * Which criteria are met? `excessive-pronation` asks for one foot at least, `flexible-foot` for every
 * foot that is affected: a foot that is not excessive need not correct.
 */
export function criteriaHold(answers: Answers): Readonly<Record<CriterionId, Truth>> {
  return {
    'age-in-range': answers['age-in-range'],
    'bears-weight': answers['bears-weight'],
    'low-tone': answers['low-tone'],
    'excessive-pronation': anyOf([
      answers['excessive-pronation.left'],
      answers['excessive-pronation.right'],
    ]),
    'flexible-foot': not(anyOf([rigid(answers, 'left'), rigid(answers, 'right')])),
    'functional-concern': answers['functional-concern'],
  }
}

/** Which exclusions hold? `rigid-foot` asks about affected feet, the others about either foot. */
export function exclusionsHold(answers: Answers): Readonly<Record<ExclusionId, Truth>> {
  return {
    'raised-tone': answers['raised-tone'],
    'rigid-foot': anyOf([rigid(answers, 'left'), rigid(answers, 'right')]),
    'fixed-calf': anyOf([answers['fixed-calf.left'], answers['fixed-calf.right']]),
    'skin-or-sensation': anyOf([
      answers['skin-or-sensation.left'],
      answers['skin-or-sensation.right'],
    ]),
  }
}

/**
 * What follows from the answers? Any exclusion that holds: unsuitable. Else any criterion not met:
 * watch. Else anything unknown, exclusions included: undetermined, for unknown is never absent. Else
 * suitable.
 */
export function decide(answers: Answers): Decision {
  const excluded = anyOf(Object.values(exclusionsHold(answers)))
  if (excluded === 'yes') return 'unsuitable'
  const met = allOf(Object.values(criteriaHold(answers)))
  if (met === 'no') return 'watch'
  return met === 'unknown' || excluded === 'unknown' ? 'undetermined' : 'suitable'
}

/** An affected foot that does not correct. */
const rigid = (answers: Answers, side: Side): Truth =>
  allOf([answers[`excessive-pronation.${side}`], not(answers[`flexible-foot.${side}`])])
