import type { AssessedChild } from '../assessed-child.ts'
import { type RedFlagSign, SIDES } from '../child.ts'
import { valueOf } from '../facts.ts'
import { say } from '../messages/message.ts'
import type { RedFlagId } from './red-flags.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import {
  type Supposed,
  supposedOfFoot,
  supposedRedFlag,
  supposedReview,
  supposedSkill,
} from './supposed-fact.ts'
import type { Supposition } from './suppositions.ts'
import type { Finding } from '../truth.ts'
import { degrees } from '../units.ts'

/** Which facts would establish walking alone, or call it in question? All else stays as it is found. */
export function walkingSuppositions({
  milestones,
}: Pick<AssessedChild, 'milestones'>): readonly Supposition[] {
  const { walksAlone, bearsWeight } = milestones
  const holding = (finding: Finding, holds: 'yes' | 'no'): Finding => ({ ...finding, holds })
  const walking = {
    ...milestones,
    walksAlone: holding(walksAlone, 'yes'),
    bearsWeight: holding(bearsWeight, 'yes'),
  }
  const fact = 'milestoneChecks.walking-alone'
  return [
    {
      rule: 'walks-alone',
      answer: 'yes',
      facts: [supposedSkill(fact, true)],
      words: say('part.if-walks'),
      bearsOn: ['bears-weight'],
      found: { milestones: walking },
    },
    {
      rule: 'walks-alone',
      answer: 'no',
      facts: [supposedSkill(fact, false)],
      words: say('part.if-not-walks'),
      // Two signs of gait do not count in a child that does not walk.
      bearsOn: ['functional-concern'],
      found: { milestones: { ...milestones, walksAlone: holding(walksAlone, 'no') } },
    },
  ]
}

/** Which facts would raise or lift each red flag? One that milestones show is lifted by no fact. */
export function redFlagSuppositions(
  { child }: Pick<AssessedChild, 'child'>,
  { suitability: limits }: RuleSet,
): readonly Supposition[] {
  const sign = (name: RedFlagSign) => (value: boolean) => [supposedRedFlag(name, value)]
  const weak = (['marked-weakness', 'absent-reflexes'] as const).filter(
    (name) => valueOf(child.redFlags[name]) !== true,
  )
  const ways: readonly (readonly [RedFlagId, (value: boolean) => readonly Supposed[]])[] = [
    ['regression', sign('loss-of-skills')],
    ['one-sided-weakness', sign('one-sided-weakness')],
    ['early-hand-preference', sign('hand-preference')],
    ['pain-or-swelling', sign('pain-or-swelling')],
    ['gowers-sign', sign('gowers-sign')],
    [
      'weakness-with-absent-reflexes',
      (value) =>
        value
          ? weak.map((name) => supposedRedFlag(name, true))
          : [supposedRedFlag('marked-weakness', false)],
    ],
    ['rising-tone-or-clonus', sign('rising-tone-or-clonus')],
    ['late-walking-without-review', (value) => [supposedReview(!value)]],
    ['stiff-hindfoot', (value) => stiff(child, value)],
    ['knee-angle', (value) => kneeBeyond(child, limits, value)],
    ['fever-or-new-limp', sign('fever-or-new-limp')],
  ]
  return ways.flatMap(([rule, facts]) => {
    const values = { flag: say(`red-flag.${rule}`) }
    const [holds, not] = [say('part.if-red-flag', values), say('part.if-no-red-flag', values)]
    return [
      { rule, answer: 'no', facts: facts(false), words: not, bearsOn: [] },
      { rule, answer: 'yes', facts: facts(true), words: holds, bearsOn: [] },
    ] as const
  })
}

function stiff({ feet }: AssessedChild['child'], value: boolean): readonly Supposed[] {
  const name = 'rockerBottomOrStiffHindfoot'
  if (value) return [supposedOfFoot('left', name, true)]
  const open = SIDES.filter((side) => valueOf(feet[side][name]) !== false)
  return open.map((side) => supposedOfFoot(side, name, false))
}

/** Degrees of valgus; a straight leg is well inside the limit. */
const STRAIGHT = 0

function kneeBeyond(
  { feet }: AssessedChild['child'],
  { kneeValgusLimitDegrees: limit }: RuleSet['suitability'],
  value: boolean,
): readonly Supposed[] {
  if (value) return [supposedOfFoot('left', 'kneeAngle', degrees(limit + 1))]
  const open = SIDES.filter((side) => {
    const angle = valueOf(feet[side].kneeAngle)
    return angle === undefined || !(angle >= STRAIGHT && angle <= limit)
  })
  return open.map((side) => supposedOfFoot(side, 'kneeAngle', degrees(STRAIGHT)))
}
