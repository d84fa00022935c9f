import { expect, test } from 'vitest'
import { shoeSizeCheck } from '../../../src/domain/device/shoe-check.ts'
import type { ShoeSize } from '../../../src/domain/child.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { fact } from '../../helpers/child.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { footMeasure } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

/** EU 21 stands for 125 mm: 21 x 6.667 - 15. */
const EU_21: ShoeSize = { system: 'eu', size: 21 }
const check = (mm: number | undefined, shoe = EU_21) => {
  const length = mm === undefined ? undefined : footMeasure(mm)
  return shoeSizeCheck(fact(shoe), { length, side: 'left' }, RULES)
}

const en = speaker('en')
const saidOf = (...known: Parameters<typeof check>) =>
  check(...known)
    .map(({ because }) => en.therapist(because))
    .join(' ')

test('a difference of 8 mm is within one size, more is reported', () => {
  expect(check(117.1)).toEqual([])
  expect(check(132.9)).toEqual([])
  expect(check(116.9)).toMatchObject([{ rule: 'shoe-size-disagreement.left', holds: 'yes' }])
  expect(check(133.1)).toMatchObject([{ rule: 'shoe-size-disagreement.left', holds: 'yes' }])
})

test('exactly 8 mm agree', () => {
  const mondopoint: ShoeSize = { system: 'mondopoint', size: 125 }

  expect(check(117, mondopoint)).toEqual([])
  expect(check(133, mondopoint)).toEqual([])
})

test('the report says whether the shoe is large or short, with its system', () => {
  expect(saidOf(110)).toMatch(/EU 21 .*125 mm.*110 mm.*shoe is large/)
  expect(saidOf(140)).toContain('shoe is short')
  expect(check(140)[0]?.evidence).toHaveLength(2)
})

test('without a measured foot the shoe is an estimate in words', () => {
  expect(check(undefined)).toMatchObject([
    {
      rule: 'shoe-size-estimate.left',
      holds: 'unknown',
      sources: ['shoe-size-formulas'],
      evidence: ['Observation/a/_history/1'],
    },
  ])
  expect(saidOf(undefined)).toContain('about 125 mm')
})

test('a size that the system does not have is unknown', () => {
  const found = check(125, { system: 'uk-child', size: 21 })

  expect(found).toMatchObject([{ rule: 'shoe-size-disagreement.left', holds: 'unknown' }])
})

test('a shoe size that is not on record says nothing', () => {
  expect(shoeSizeCheck('unknown', { length: undefined, side: 'left' }, RULES)).toEqual([])
})

test('the family is asked to check the shoe and to have the foot measured', () => {
  const family = (language: 'en' | 'es') =>
    check(140).map(({ because }) => speaker(language).family(because))

  expect(family('en')).toEqual([
    "The shoe (size EU 21) seems short for your child's foot, or one of the two numbers is wrong. Please check whether the shoe still fits and have the foot measured again.",
  ])
  expect(family('es').join('')).toContain('El zapato (número EU 21) parece corto')
})

test('every outcome is said in both languages to both readers', () => {
  const outcomes = [
    ...check(110),
    ...check(140),
    ...check(undefined),
    ...check(125, { system: 'uk-child', size: 21 }),
  ]

  expect(outcomes).toHaveLength(4)
  expect(faultsInVoices(outcomes.map(({ because }) => because))).toEqual([])
})
