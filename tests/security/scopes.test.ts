import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import {
  allows,
  allowsAdministration,
  common,
  type Letter,
  narrowedTypes,
  narrowingOf,
  parseScopes,
  scopeText,
  within,
} from '../../src/security/scopes.ts'

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
  'system/*.r?_tag=a|b',
  'system/Patient.r?',
  'system/Patient.r?name="x"',
  'system/Patient.r?name=\\',
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

test.each([
  ['system/Patient.rs', 'system/*.cruds', 'system/Patient.rs'],
  ['system/*.rs', 'system/Patient.r system/Task.us', 'system/Patient.r system/Task.s'],
  ['system/*.cruds', 'system/*.rs', 'system/*.rs'],
  ['system/Patient.c', 'system/Patient.rs', ''],
  ['system/Patient.rs system/Patient.c', 'system/Patient.crs', 'system/Patient.crs'],
  ['system/Patient.rs admin', 'system/*.cruds', 'system/Patient.rs'],
  ['admin', 'system/*.cruds admin', 'admin'],
  ['system/*.r', 'admin', ''],
  ['system/*.rs', 'system/Task.rs?status=a', 'system/Task.rs?status=a'],
  ['system/Task.r', 'system/Task.rs?status=a', 'system/Task.r?status=a'],
  ['system/Task.rs?status=a', 'system/*.rs', 'system/Task.rs?status=a'],
  ['system/Task.rs?status=a', 'system/Task.rs?status=b', 'system/Task.rs?status=a&status=b'],
  [
    'system/Task.rs?status=a',
    'system/Task.rs?status=a system/Task.rs?status=b',
    'system/Task.rs?status=a',
  ],
  [
    'system/*.rs',
    'system/Task.rs?status=a system/Task.rs?status=b system/Patient.r',
    'system/Task.rs?status=a system/Task.rs?status=b system/Patient.r',
  ],
])('asked %s of registered %s, granted is %j', (asked, registered, granted) => {
  expect(scopeText(common(parseScopes(asked) ?? [], parseScopes(registered) ?? []))).toBe(granted)
})

test('what is granted is within both what was asked and what is registered', () => {
  const one = fc.record({ letters: subset, type })
  const list = fc.array(one, { minLength: 1, maxLength: 4 })
  fc.assert(
    fc.property(list, list, fc.constantFrom('Patient', 'Task'), (asked, registered, name) => {
      const granted = common(asked, registered)

      expect(within(granted, asked) && within(granted, registered)).toBe(true)
      for (const letter of ORDER)
        expect(allows(granted, name, letter)).toBe(
          allows(asked, name, letter) && allows(registered, name, letter),
        )
    }),
  )
})

test('administration is a word of its own: no type holds it and it holds no type', () => {
  const all = parseScopes('system/*.cruds') ?? []
  const admin = parseScopes('admin') ?? []

  expect([allowsAdministration(all), allowsAdministration(admin)]).toEqual([false, true])
  expect([within(admin, all), within(all, admin), within(admin, admin)]).toEqual([
    false,
    false,
    true,
  ])
  for (const letter of ORDER) expect(allows(admin, 'Patient', letter)).toBe(false)
})

test('a type is narrowed by the parts of its scopes, one of each letter', () => {
  const scopes = (text: string) => parseScopes(text) ?? []

  expect(narrowingOf(scopes('system/Task.rs?a=1'), 'Task')).toEqual([['a=1']])
  expect(narrowingOf(scopes('system/Task.rs?b=1 system/Task.rs?a=1'), 'Task')).toEqual([
    ['a=1', 'b=1'],
  ])
  expect(narrowingOf(scopes('system/Task.r?a=1 system/Task.s?b=1'), 'Task')).toEqual([
    ['a=1'],
    ['b=1'],
  ])
  // What may be read whole is narrowed all the same by what may be searched.
  expect(narrowingOf(scopes('system/Task.r system/Task.s?b=1'), 'Task')).toEqual([['b=1']])
  expect(narrowingOf(scopes('system/Task.rs?a=1 system/*.rs'), 'Task')).toEqual([])
  expect(narrowingOf(scopes('system/Task.rs?a=1'), 'Patient')).toEqual([])
  expect(narrowedTypes(scopes('system/Task.rs?a=1 system/Patient.rs'))).toEqual(['Task'])
})

test('what is asked for whole is not within a part, and a narrower part is', () => {
  const scopes = (text: string) => parseScopes(text) ?? []
  const registered = scopes('system/Task.rs?a=1')

  expect(within(scopes('system/Task.r'), registered)).toBe(false)
  expect(within(scopes('system/Task.r?b=1'), registered)).toBe(false)
  expect(within(scopes('system/Task.r?a=1'), registered)).toBe(true)
  expect(within(scopes('system/Task.r?a=1&b=2'), registered)).toBe(true)
  expect(within(scopes('system/Task.r?a=1'), scopes('system/*.r'))).toBe(true)
})
