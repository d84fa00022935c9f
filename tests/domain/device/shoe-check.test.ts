import { expect, test } from 'vitest'
import { shoeSizeCheck } from '../../../src/domain/device/shoe-check.ts'
import type { ShoeSize } from '../../../src/domain/child.ts'
import { fact } from '../../helpers/child.ts'
import { footMeasure } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

/** EU 21 stands for 125 mm: 21 x 6.667 - 15. */
const EU_21: ShoeSize = { system: 'eu', size: 21 }
const check = (mm: number | undefined, shoe = EU_21) => {
  const length = mm === undefined ? undefined : footMeasure(mm)
  return shoeSizeCheck(fact(shoe), { length, side: 'left' }, RULES)
}

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
  expect(check(110)[0]?.because).toMatch(/EU 21 .*125 mm.*110 mm.*shoe is large/)
  expect(check(140)[0]?.because).toContain('shoe is short')
  expect(check(140)[0]?.evidence).toHaveLength(2)
})

test('without a measured foot the shoe is an estimate in words', () => {
  expect(check(undefined)).toMatchObject([{ rule: 'shoe-size-estimate.left', holds: 'unknown' }])
  expect(check(undefined)[0]?.because).toContain('about 125 mm')
})

test('a size that the system does not have is unknown', () => {
  const found = check(125, { system: 'uk-child', size: 21 })

  expect(found).toMatchObject([{ rule: 'shoe-size-disagreement.left', holds: 'unknown' }])
})

test('a shoe size that is not on record says nothing', () => {
  expect(shoeSizeCheck('unknown', { length: undefined, side: 'left' }, RULES)).toEqual([])
})
