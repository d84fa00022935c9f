import { expect, test } from 'vitest'
import { HEEL_RULES } from '../../../src/domain/tables/heel-rules.ts'

test('the rules of thumb start at 7 (Current Pedorthics 2016) and 8 degrees (from memory)', () => {
  expect(HEEL_RULES.sevenLessAge).toEqual({ source: 'heel-rule-2016', start: 7 })
  expect(HEEL_RULES.eightLessAge).toEqual({ source: 'memory', start: 8 })
})

test('the mean measured at 3-6 years is 5.5 degrees: Pfeiffer, Pediatrics 2006;118:634', () => {
  const { meanDegrees, fromYears, toYears } = HEEL_RULES.measured

  expect([meanDegrees, fromYears, toYears]).toEqual([5.5, 3, 6])
})
