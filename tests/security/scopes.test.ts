import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { allows, type Letter, parseScopes, within } from '../../src/security/scopes.ts'

// SMART App Launch 2.2, scope grammar: letters are a subset of `cruds`, in this order.

const ORDER: readonly Letter[] = ['c', 'r', 'u', 'd', 's']
const subset = fc.subarray([...ORDER], { minLength: 1 })
const type = fc.constantFrom('Patient', 'Observation', 'ServiceRequest', '*')

test('letters in order are granted, each and no other', () => {
  fc.assert(
    fc.property(subset, type, (letters, name) => {
      const scopes = parseScopes(`system/${name}.${letters.join('')}`) ?? []

      for (const letter of ORDER) {
        expect(allows(scopes, name === '*' ? 'Task' : name, letter)).toBe(letters.includes(letter))
        expect(allows(scopes, 'Coverage', letter)).toBe(name === '*' && letters.includes(letter))
      }
    }),
  )
})

test('letters out of order or repeated are refused as a whole', () => {
  const shuffled = fc
    .array(fc.constantFrom(...ORDER), { minLength: 2, maxLength: 6 })
    .filter((letters) =>
      letters.some(
        (letter, index) =>
          index > 0 && ORDER.indexOf(letter) <= ORDER.indexOf(letters[index - 1] ?? letter),
      ),
    )
  fc.assert(
    fc.property(shuffled, type, (letters, name) => {
      expect(parseScopes(`system/${name}.${letters.join('')}`)).toBeUndefined()
      expect(parseScopes(`system/Patient.r system/${name}.${letters.join('')}`)).toBeUndefined()
    }),
  )
})

test.each([
  '',
  ' ',
  'system/Patient.',
  'system/.r',
  'patient/Patient.r',
  'user/Patient.r',
  'system/Patient.read',
  'system/Patient.write',
  'system/Patient.*',
  'system/patient.r',
  'system/Patient.r?status=active',
  'launch',
  'SYSTEM/Patient.r',
  'system/Patient.rx',
  'system/Patient.r,system/Task.r',
  'system/Patient.r\n',
])('%j grants nothing', (text) => {
  expect(parseScopes(text)).toBeUndefined()
})

test('what is asked for is within what is registered, letter by letter and type by type', () => {
  const scopes = (text: string) => parseScopes(text) ?? []
  const registered = scopes('system/Patient.crs system/Observation.r')

  expect(within(scopes('system/Patient.rs'), registered)).toBe(true)
  expect(within(scopes('system/Patient.rs system/Observation.r'), registered)).toBe(true)
  expect(within(scopes('system/Observation.rs'), registered)).toBe(false)
  expect(within(scopes('system/*.r'), registered)).toBe(false)
  expect(within(scopes('system/Task.r'), scopes('system/*.r'))).toBe(true)
})
