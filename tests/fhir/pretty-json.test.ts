import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { prettyJson } from '../../src/fhir/pretty-json.ts'

test('it is what JSON.stringify lays out', () => {
  fc.assert(
    fc.property(fc.jsonValue(), (value) => {
      expect(prettyJson(JSON.stringify(value))).toBe(JSON.stringify(value, null, 2))
    }),
  )
})

test('numbers keep their digits, and what is in a string stays', () => {
  expect(prettyJson('{"value":1.50,"e":-1E+22,"s":"{\\"a\\": [1,2]}"}')).toBe(
    '{\n  "value": 1.50,\n  "e": -1E+22,\n  "s": "{\\"a\\": [1,2]}"\n}',
  )
})
