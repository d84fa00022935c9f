import { expect, test } from 'vitest'
import { ageSuppositions } from '../../../src/domain/decision/age-suppositions.ts'
import { agesAt, milestonesWith, tempoWith } from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'

const english = speaker('en')

const ifPreterm = { ages: agesAt(14), milestones: milestonesWith(), tempo: tempoWith() }

test('an age outside the clinic, 6 to 72 months, is supposed to be the nearest inside', () => {
  const monthsAt = (age: number) =>
    ageSuppositions({ ages: agesAt(age) }, RULES.age)[0]?.found?.ages?.months

  expect([4, 6, 40, 72, 80].map(monthsAt)).toEqual([6, 6, 40, 72, 72])
})

test('gestation is supposed only while a child may have been born early', () => {
  const facts = (known: Parameters<typeof ageSuppositions>[0]) =>
    ageSuppositions(known, RULES.age).flatMap((one) => one.facts.map(({ fact }) => fact))

  expect(new Set(facts({ ages: agesAt(17), ifPreterm }))).toEqual(new Set(['gestationDays']))
  expect(facts({ ages: agesAt(17) })).toEqual([])
})

test('at term, 40 weeks, all is as found; early, 28 weeks, as found for a child born so early', () => {
  const found = ageSuppositions({ ages: agesAt(17), ifPreterm }, RULES.age)
  const by = (days: number) => found.filter(({ facts }) => facts[0]?.value === days)

  expect(by(280).map((one) => one.found)).toEqual([{}, {}, {}, {}])
  expect(by(196).map((one) => one.found?.ages?.months)).toEqual([14, 14, 14, 14])
  expect(by(196).map(({ words }) => english.therapist(words))[0]).toBe(
    'if the child were recorded as born at 28 weeks',
  )
})

test('a child whose gestation is known is not supposed to have been born early', () => {
  const [first] = ageSuppositions({ ages: agesAt(5) }, RULES.age)

  expect(first?.found).not.toHaveProperty('ifPreterm')
})
