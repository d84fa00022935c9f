import type { AssessedChild } from '../assessed-child.ts'
import type { Side } from '../child.ts'
import type { QuestionId } from './decision.ts'
import type { Recorded } from '../facts.ts'
import { FLEXIBILITY_TESTS } from '../foot/foot-flexibility.ts'
import { delayConcern, turnsOnGestation } from './functional-concern.ts'
import { posturalSigns } from './postural-signs.ts'
import type { RuleSet } from '../rules/rule-set.ts'

type Asked = Pick<AssessedChild, 'child' | 'asOf' | 'milestones' | 'tempo' | 'ifPreterm'>

/**
 * Which facts of the child, by name, would answer each question? Only those not yet recorded. A fact
 * of one foot carries its side; a fact of a list carries the entry that is asked for.
 */
export function decidingFacts(
  asked: Asked,
  limits: RuleSet['suitability'],
): Readonly<Record<QuestionId, readonly string[]>> {
  const { child } = asked
  return {
    'age-in-range': open([['gestationDays', child.gestationDays]]),
    'bears-weight': weightBearing(asked),
    'low-tone': open([
      ['tone', child.tone],
      ['signs.generalised-laxity', child.signs['generalised-laxity']],
      ['signs.motor-concern', child.signs['motor-concern']],
    ]),
    'excessive-pronation.left': ['fpi.left'],
    'excessive-pronation.right': ['fpi.right'],
    'flexible-foot.left': flexibility(asked, 'left'),
    'flexible-foot.right': flexibility(asked, 'right'),
    'functional-concern': functional(asked, limits),
    'raised-tone': open([
      ['tone', child.tone],
      ['ashworthCalf.left', child.feet.left.ashworthCalf],
      ['ashworthCalf.right', child.feet.right.ashworthCalf],
    ]),
    'fixed-calf.left': ['ankleDorsiflexion.left'],
    'fixed-calf.right': ['ankleDorsiflexion.right'],
    'skin-or-sensation.left': skin(asked, 'left'),
    'skin-or-sensation.right': skin(asked, 'right'),
  }
}

/**
 * Any one that is seen answers `yes`; `no` needs each of them. The first alone stands for them all when
 * each was looked at and the looks disagree.
 */
function weightBearing({ milestones: { statuses, skills } }: Asked): readonly string[] {
  const looked = [...statuses, ...skills].filter(({ finding }) => finding.holds !== 'unknown')
  const names = looked.map((one) => ('skill' in one ? one.skill : one.milestone))
  const open = WEIGHT_BEARING.filter(({ name }) => !names.includes(name))
  return (open.length === 0 ? WEIGHT_BEARING.slice(0, 1) : open).map(
    ({ list, name }) => `${list}.${name}`,
  )
}

/** Any of these shows that the child bears weight, nearest first. */
export const WEIGHT_BEARING = [
  { list: 'milestoneChecks', name: 'standing-with-assistance' },
  { list: 'skillChecks', name: 'pulling-to-stand' },
  { list: 'milestoneChecks', name: 'walking-with-assistance' },
  { list: 'milestoneChecks', name: 'standing-alone' },
  { list: 'milestoneChecks', name: 'walking-alone' },
] as const

const flexibility = ({ child }: Asked, side: Side) =>
  open(FLEXIBILITY_TESTS.map((test) => [`${test}.${side}`, child.feet[side][test]]))

const skin = ({ child }: Asked, side: Side) =>
  open([
    [`openSkin.${side}`, child.feet[side].openSkin],
    [`insensate.${side}`, child.feet[side].insensate],
  ])

/**
 * A delay is told by milestones that nobody has looked at yet, or by a standardised result; after a loss
 * of skills only by the latter.
 */
function functional(asked: Asked, limits: RuleSet['suitability']): readonly string[] {
  const signs = posturalSigns(asked, limits.gaitSignMonthsAfterWalking)
  const open = signs.filter(({ holds }) => holds === 'unknown')
  const needsOnset = open.some((sign) => sign.needsWalkingOnset)
  const delay = delayConcern(asked, limits).holds === 'unknown'
  const { tempo, milestones } = asked
  const notLookedAt =
    tempo.state === 'not-estimable' &&
    tempo.reason !== 'regression' &&
    milestones.statuses.some(({ state }) => state === 'unknown')
  return [
    ...(turnsOnGestation(asked, limits) ? ['gestationDays'] : []),
    ...(delay && notLookedAt ? ['milestoneChecks'] : []),
    ...(delay ? ['standardised'] : []),
    ...(needsOnset ? ['milestoneChecks.walking-alone'] : []),
    ...open.map(({ sign }) => `signs.${sign}`),
  ]
}

const open = (facts: readonly (readonly [string, Recorded<unknown>])[]): readonly string[] =>
  facts.flatMap(([name, recorded]) => (recorded === 'unknown' ? [name] : []))
