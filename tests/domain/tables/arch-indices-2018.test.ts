import { expect, test } from 'vitest'
import { ARCH_INDICES_2018 } from '../../../src/domain/tables/arch-indices-2018.ts'

test('the Staheli limits are those of Banwell, J Foot Ankle Res 2018;11:21', () => {
  expect(ARCH_INDICES_2018.staheli.map((row) => Object.values(row))).toEqual([
    [3, 6, 1.07, 'above'],
    [6, 9, 1.28, 'at or above'],
  ])
})

test('the Chippaux-Smirak limits are those of Banwell, J Foot Ankle Res 2018;11:21', () => {
  expect(ARCH_INDICES_2018.chippauxSmirak.map((row) => Object.values(row))).toEqual([
    [3, 7, 62.7, 'above'],
    [6, 9, 59, 'above'],
  ])
})
