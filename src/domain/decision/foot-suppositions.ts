import type { AssessedChild } from '../assessed-child.ts'
import type { FpiItems, Side } from '../child.ts'
import { valueOf } from '../facts.ts'
import { FLEXIBILITY_TESTS } from '../foot/foot-flexibility.ts'
import { say } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { supposedOfFoot } from './supposed-fact.ts'
import type { Supposition } from './suppositions.ts'
import { degrees } from '../units.ts'

/** Which facts about one foot would give a question about it its other answer? */
export const footSuppositions = (
  side: Side,
  { child }: Pick<AssessedChild, 'child'>,
  { posture: limits }: RuleSet,
): readonly Supposition[] => [
  ...ofFlexibility(side, child.feet[side]),
  ...ofCalf(side, limits),
  ...ofSkin(side, child.feet[side]),
  ...ofPronation(side, child.feet[side], limits),
]

type Foot = AssessedChild['child']['feet'][Side]

const SEEN = {
  tiptoeArchAndHeelInversion: say('part.on-tiptoe'),
  greatToeExtensionRaisesArch: say('part.great-toe-lifted'),
  archSeenUnloaded: say('part.unloaded'),
} as const

function ofFlexibility(side: Side, foot: Foot): readonly Supposition[] {
  const rule = `flexible-foot.${side}` as const
  const possible = FLEXIBILITY_TESTS.filter((test) => valueOf(foot[test]) !== false)
  return [
    {
      rule,
      answer: 'yes',
      facts: [supposedOfFoot(side, 'tiptoeArchAndHeelInversion', true)],
      words: say('part.if-foot-corrects', { side }),
      bearsOn: [rule],
    },
    {
      rule,
      answer: 'no',
      facts: possible.map((test) => supposedOfFoot(side, test, false)),
      words: say('part.if-foot-rigid', { side, tests: possible.map((test) => SEEN[test]) }),
      bearsOn: [rule],
    },
  ]
}

/** Degrees; the smallest step that is measured. */
const ONE_DEGREE = 1

function ofCalf(
  side: Side,
  { ankleStopDegrees: neutral }: RuleSet['posture'],
): readonly Supposition[] {
  const rule = `fixed-calf.${side}` as const
  const at = (angle: number) => [supposedOfFoot(side, 'ankleDorsiflexion', degrees(angle))]
  const of = { rule, bearsOn: [rule] }
  return [
    {
      ...of,
      answer: 'yes',
      facts: at(neutral - ONE_DEGREE),
      words: say('part.if-ankle-short', { side }),
    },
    { ...of, answer: 'no', facts: at(neutral), words: say('part.if-ankle-neutral', { side }) },
  ]
}

function ofSkin(side: Side, foot: Foot): readonly Supposition[] {
  const rule = `skin-or-sensation.${side}` as const
  const open = (['openSkin', 'insensate'] as const).filter((name) => valueOf(foot[name]) !== false)
  return [
    {
      rule,
      answer: 'yes',
      facts: [supposedOfFoot(side, 'openSkin', true)],
      words: say('part.if-skin-open', { side }),
      bearsOn: [rule],
    },
    {
      rule,
      answer: 'no',
      facts: open.map((name) => supposedOfFoot(side, name, false)),
      words: say('part.if-skin-sound', { side }),
      bearsOn: [rule],
    },
  ]
}

/** Of the index: items 3, 4 and 6 each stand for a plane, and item 6 alone for the transverse one. */
function ofPronation(
  side: Side,
  foot: Foot,
  { fpiItemMet: met }: RuleSet['posture'],
): readonly Supposition[] {
  const rule = `excessive-pronation.${side}` as const
  const fpi: FpiItems = valueOf(foot.fpi) ?? {}
  const reaching = (item: 3 | 4 | 6) => Math.max(met, fpi[item] ?? met)
  const all = { ...fpi, 3: reaching(3), 4: reaching(4), 6: reaching(6) }
  return [
    {
      rule,
      answer: 'yes',
      facts: [supposedOfFoot(side, 'fpi', all)],
      words: say('part.if-pronated', { side }),
      bearsOn: [rule],
    },
    {
      rule,
      answer: 'no',
      facts: [supposedOfFoot(side, 'fpi', { ...fpi, 6: met - 1 })],
      words: say('part.if-not-pronated', { side }),
      bearsOn: [rule],
    },
  ]
}
