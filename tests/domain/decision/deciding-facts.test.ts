import { expect, test } from 'vitest'
import { civilDate } from '../../../src/domain/calendar.ts'
import { MILESTONES } from '../../../src/domain/child.ts'
import { decidingFacts } from '../../../src/domain/decision/deciding-facts.ts'
import { child, fact, foot } from '../../helpers/child.ts'
import {
  agesAt,
  assess,
  knownChild,
  milestonesWith,
  noTempo,
  tempoWith,
} from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'

const facts = (...args: Parameters<typeof assess>) =>
  decidingFacts(assess(...args), RULES.suitability)

test('of a child of whom nothing is known, each question names the facts of the child it needs', () => {
  const asked = facts(child(), {
    tempo: noTempo('no-observations'),
    milestones: milestonesWith({ bearsWeight: 'unknown', walksAlone: 'unknown' }),
  })

  expect(asked).toEqual({
    'age-in-range': ['gestationDays'],
    'bears-weight': [
      'milestoneChecks.standing-with-assistance',
      'skillChecks.pulling-to-stand',
      'milestoneChecks.walking-with-assistance',
      'milestoneChecks.standing-alone',
      'milestoneChecks.walking-alone',
    ],
    'low-tone': ['tone', 'signs.generalised-laxity', 'signs.motor-concern'],
    'excessive-pronation.left': ['fpi.left'],
    'excessive-pronation.right': ['fpi.right'],
    'flexible-foot.left': [
      'tiptoeArchAndHeelInversion.left',
      'greatToeExtensionRaisesArch.left',
      'archSeenUnloaded.left',
    ],
    'flexible-foot.right': [
      'tiptoeArchAndHeelInversion.right',
      'greatToeExtensionRaisesArch.right',
      'archSeenUnloaded.right',
    ],
    'functional-concern': [
      'milestoneChecks',
      'standardised',
      'milestoneChecks.walking-alone',
      'signs.habitual-w-sitting',
      'signs.rises-onto-toes-for-stability',
      'signs.forward-lean-with-knees-rolling-in',
      'signs.wide-guarded-gait',
      'signs.heel-contact-seen',
    ],
    'raised-tone': ['tone', 'ashworthCalf.left', 'ashworthCalf.right'],
    'fixed-calf.left': ['ankleDorsiflexion.left'],
    'fixed-calf.right': ['ankleDorsiflexion.right'],
    'skin-or-sensation.left': ['openSkin.left', 'insensate.left'],
    'skin-or-sensation.right': ['openSkin.right', 'insensate.right'],
  })
})

test('what is recorded is not asked for again', () => {
  const asked = facts(
    child({
      tone: fact('raised'),
      feet: {
        left: foot({
          openSkin: fact(false),
          tiptoeArchAndHeelInversion: fact(false),
          ashworthCalf: fact('1'),
        }),
        right: foot(),
      },
    }),
  )

  expect(asked['skin-or-sensation.left']).toEqual(['insensate.left'])
  expect(asked['flexible-foot.left']).toEqual([
    'greatToeExtensionRaisesArch.left',
    'archSeenUnloaded.left',
  ])
  expect(asked['raised-tone']).toEqual(['ashworthCalf.right'])
  expect(asked['low-tone']).toEqual(['signs.generalised-laxity', 'signs.motor-concern'])
})

test('milestones are asked for where nobody has looked, and not after a loss of skills', () => {
  const states = Object.fromEntries(MILESTONES.map((one) => [one, 'attained' as const]))
  const asked = (reason: Parameters<typeof noTempo>[0], milestones = milestonesWith()) =>
    facts(child(), { tempo: noTempo(reason), milestones })['functional-concern']

  expect(asked('no-observations')).toContain('milestoneChecks')
  expect(asked('ceiling')).toContain('milestoneChecks')
  expect(asked('ceiling', milestonesWith({ states }))).not.toContain('milestoneChecks')
  expect(asked('ceiling', milestonesWith({ states }))).toContain('standardised')
  expect(asked('regression')).not.toContain('milestoneChecks')
  expect(asked('regression')).toContain('standardised')
})

test('with an estimate no standardised result is asked for', () => {
  const asked = facts(child(), { tempo: tempoWith({ atLeast25: 0.1 }) })

  expect(asked['functional-concern']).not.toContain('standardised')
})

test('the onset of walking is asked for only while it is open', () => {
  const milestones = milestonesWith({
    walkingOnset: { notBefore: civilDate('2025-01-01'), notAfter: civilDate('2025-01-10') },
  })

  expect(facts(child(), { milestones })['functional-concern']).not.toContain(
    'milestoneChecks.walking-alone',
  )
  expect(facts(child())['functional-concern']).toContain('milestoneChecks.walking-alone')
})

test('weight bearing asks for the skills nobody has looked at', () => {
  const milestones = milestonesWith({
    bearsWeight: 'unknown',
    states: { 'standing-with-assistance': 'not-yet', 'walking-alone': 'not-yet' },
    skills: [{ skill: 'pulling-to-stand', holds: 'no' }],
  })

  expect(facts(child(), { milestones })['bears-weight']).toEqual([
    'milestoneChecks.walking-with-assistance',
    'milestoneChecks.standing-alone',
  ])
})

test('weight bearing asks for the first skill again when the looks at all of them disagree', () => {
  const milestones = milestonesWith({
    bearsWeight: 'unknown',
    states: Object.fromEntries(MILESTONES.map((one) => [one, 'not-yet' as const])),
    skills: [{ skill: 'pulling-to-stand', holds: 'no' }],
  })

  expect(facts(child(), { milestones })['bears-weight']).toEqual([
    'milestoneChecks.standing-with-assistance',
  ])
})

test('of a child of whom everything is known nothing is asked', () => {
  const milestones = milestonesWith({
    walkingOnset: { notBefore: civilDate('2025-01-01'), notAfter: civilDate('2025-01-10') },
  })

  expect(facts(knownChild(), { milestones })['functional-concern']).toEqual([])
})

test('only the postural signs that nobody looked for are asked for', () => {
  const signs = { ...knownChild().signs, 'habitual-w-sitting': 'unknown' as const }
  const milestones = milestonesWith({ walksAlone: 'no' })

  expect(facts(knownChild({ signs }), { milestones })['functional-concern']).toEqual([
    'signs.habitual-w-sitting',
  ])
})

test('a delay that turns on gestation asks for it or a test, not for milestones again', () => {
  const milestones = milestonesWith({ walksAlone: 'no' })
  const early = { ages: agesAt(14), milestones, tempo: tempoWith({ atLeast25: 0.1 }) }
  const open = { ...assess(knownChild(), { milestones }), ifPreterm: early }
  const tested = knownChild({ standardised: fact({ kind: 'z-score', z: 0 }) })
  const settled = { ...assess(tested, { milestones }), ifPreterm: early }

  expect(decidingFacts(open, RULES.suitability)['functional-concern']).toEqual([
    'gestationDays',
    'standardised',
  ])
  expect(decidingFacts(settled, RULES.suitability)['functional-concern']).toEqual([])
})

test('milestones are asked for while one of them has not been looked at', () => {
  const states = Object.fromEntries(MILESTONES.slice(1).map((one) => [one, 'attained' as const]))
  const known = { tempo: noTempo('ceiling'), milestones: milestonesWith({ states }) }

  expect(facts(child(), known)['functional-concern']).toContain('milestoneChecks')
})
