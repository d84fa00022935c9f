import { expect, test } from 'vitest'
import { numberCriterion } from '../../src/fhir/query-ranges.ts'

// R4 2.24.0.1, decimal: no leading zeros.
test.each(['01', '00', 'lt007', '-01.5', '.5', '5.', '1e', ''])('%j is no number', (text) => {
  expect(numberCriterion(text)).toBeUndefined()
})

test.each(['0', '0.5', '-0.5', '10', 'ge1e2', '100'])('%j is a number', (text) => {
  expect(numberCriterion(text)).toBeDefined()
})
