import { expect, test } from 'vitest'
import { footSuppositions } from '../../../src/domain/decision/foot-suppositions.ts'
import { child, fact, foot } from '../../helpers/child.ts'
import { RULES } from '../../helpers/rules.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'

const english = speaker('en')

const of = (known: Parameters<typeof foot>[0], rule: string, answer: 'yes' | 'no') => {
  const feet = { left: foot(), right: foot(known) }
  const found = footSuppositions('right', { child: child({ feet }) }, RULES)
  return found.find((one) => one.rule === `${rule}.right` && one.answer === answer)
}
const facts = (...args: Parameters<typeof of>) =>
  of(...args)?.facts.map(({ fact: name, value }) => [name, value])

test('a foot that corrects takes one test, a rigid foot every test that is not negative already', () => {
  const partly = { archSeenUnloaded: fact(false), tiptoeArchAndHeelInversion: fact(true) }

  expect(facts(partly, 'flexible-foot', 'yes')).toEqual([
    ['tiptoeArchAndHeelInversion.right', true],
  ])
  expect(facts(partly, 'flexible-foot', 'no')).toEqual([
    ['tiptoeArchAndHeelInversion.right', false],
    ['greatToeExtensionRaisesArch.right', false],
  ])
  const words = of(partly, 'flexible-foot', 'no')?.words
  expect(words && english.therapist(words)).toBe(
    'if the right foot did not correct on tiptoe and when the great toe is lifted',
  )
})

test('the ankle is a degree short of neutral, or at it', () => {
  expect(facts({}, 'fixed-calf', 'yes')).toEqual([['ankleDorsiflexion.right', -1]])
  expect(facts({}, 'fixed-calf', 'no')).toEqual([['ankleDorsiflexion.right', 0]])
})

test('sound skin and feeling takes each of the two that is not known to be sound', () => {
  expect(facts({}, 'skin-or-sensation', 'yes')).toEqual([['openSkin.right', true]])
  expect(facts({ openSkin: fact(false) }, 'skin-or-sensation', 'no')).toEqual([
    ['insensate.right', false],
  ])
  expect(facts({ openSkin: fact(true) }, 'skin-or-sensation', 'no')).toEqual([
    ['openSkin.right', false],
    ['insensate.right', false],
  ])
})

test('a foot is supposed pronated by the items short of the limit, not pronated by item 6 alone', () => {
  const fpi = fact({ 1: 0, 3: 2, 4: 0, 5: -1 })

  expect(facts({ fpi }, 'excessive-pronation', 'yes')).toEqual([
    ['fpi.right', { 1: 0, 3: 2, 4: 1, 5: -1, 6: 1 }],
  ])
  expect(facts({ fpi }, 'excessive-pronation', 'no')).toEqual([
    ['fpi.right', { 1: 0, 3: 2, 4: 0, 5: -1, 6: 0 }],
  ])
  expect(facts({}, 'excessive-pronation', 'no')).toEqual([['fpi.right', { 6: 0 }]])
})

const WORDS: [string, 'yes' | 'no', string][] = [
  ['flexible-foot', 'yes', 'if the right foot corrected on tiptoe'],
  ['fixed-calf', 'yes', 'if the right ankle did not reach neutral with the knee straight'],
  ['fixed-calf', 'no', 'if the right ankle reached neutral with the knee straight'],
  ['skin-or-sensation', 'yes', 'if the skin of the right foot were open'],
  ['skin-or-sensation', 'no', 'if skin and feeling of the right foot were sound'],
  ['excessive-pronation', 'yes', 'if the right foot were excessively pronated in standing'],
  ['excessive-pronation', 'no', 'if the right foot were not excessively pronated in standing'],
]
for (const [rule, answer, words] of WORDS)
  test(`${rule} ${answer} is said as: ${words}`, () => {
    const found = of({}, rule, answer)

    expect(found && english.therapist(found.words)).toBe(words)
    expect(found?.bearsOn).toEqual([`${rule}.right`])
  })
