import { expect, test } from 'vitest'

import { ownExamples } from '../helpers/own-examples.ts'
import { brokenInvariants } from '../helpers/structure-definitions.ts'

const example = (): Record<string, unknown> =>
  JSON.parse(
    ownExamples().find(({ type }) => type === 'StructureDefinition')?.text ?? '{}',
  ) as Record<string, unknown>

test('the StructureDefinition of the examples keeps every published invariant', () => {
  expect(brokenInvariants(example())).toEqual([])
})

const element = (change: object) => ({
  differential: { element: [{ id: 'Patient', path: 'Patient', ...change }] },
})

const BROKEN: [key: string, change: Record<string, unknown>][] = [
  ['sdf-2', { mapping: [{ identity: 'a' }] }],
  ['sdf-4', { baseDefinition: undefined }],
  ['sdf-6', { differential: undefined }],
  ['sdf-8a', { type: 'Observation' }],
  ['sdf-9', element({ label: 'x' })],
  ['sdf-15a', element({ type: [{ code: 'Patient' }] })],
  ['sdf-17', { differential: { element: [{ path: 'Patient' }] } }],
  ['sdf-18', { contextInvariant: ['true'] }],
  ['sdf-20', element({ slicing: { rules: 'open', description: 'x' } })],
  ['sdf-23', element({ sliceName: 'x' })],
  ['eld-1', element({ slicing: { rules: 'open' } })],
  ['eld-2', element({ min: 2, max: '1' })],
  ['eld-3', element({ max: '-1' })],
  ['eld-4', element({ type: [{ code: 'string', aggregation: ['bundled'] }] })],
  ['eld-8', element({ fixedString: 'a', patternString: 'a' })],
  ['eld-13', element({ type: [{ code: 'string' }, { code: 'string' }] })],
  ['eld-17', element({ type: [{ code: 'string', targetProfile: ['https://a.example/p'] }] })],
  ['eld-18', element({ isModifier: true })],
  ['eld-22', element({ sliceIsConstraining: true })],
]

for (const [key, change] of BROKEN)
  test(`${key} is seen where it is broken`, () => {
    expect(brokenInvariants({ ...example(), ...change })).toContain(key)
  })
