import { describe, expect, test } from 'vitest'
import { applyFhirPathPatch } from '../../src/fhir/fhirpath-patch.ts'
import { withoutStaleNarrative } from '../../src/fhir/stale-narrative.ts'

type Part = Record<string, unknown>

const code = (name: string, valueCode: string): Part => ({ name, valueCode })
const text = (name: string, valueString: string): Part => ({ name, valueString })
const number = (name: string, valueInteger: number): Part => ({ name, valueInteger })
const operation = (type: string, path: string, ...part: readonly Part[]) => ({
  name: 'operation',
  part: [code('type', type), text('path', path), ...part],
})
const patched = (resource: unknown, ...parameter: readonly unknown[]) =>
  applyFhirPathPatch(resource, { resourceType: 'Parameters', parameter })
const value = async (resource: unknown, ...parameter: readonly unknown[]) => {
  const result = await patched(resource, ...parameter)
  return result.ok ? result.value : result
}

const PATIENT = {
  resourceType: 'Patient',
  id: 'a',
  active: true,
  birthDate: '2020-01-01',
  name: [{ family: 'One', given: ['A', 'B'] }, { family: 'Two' }],
  identifier: [{ value: '1' }, { value: '2' }, { value: '3' }],
}

// The operations of R4 3.1.5 (fhirpatch.html), written from memory of the page and of its published cases.
describe('FHIRPath Patch (R4 3.1.5)', () => {
  test('add: a single element that is not there yet', async () => {
    expect(
      await value(
        PATIENT,
        operation('add', 'Patient', text('name', 'gender'), { name: 'value', valueCode: 'female' }),
      ),
    ).toEqual({ ...PATIENT, gender: 'female' })
  })

  test('add: a further one of a repeating element goes to the end', async () => {
    expect(
      await value(
        PATIENT,
        operation('add', 'Patient', text('name', 'identifier'), {
          name: 'value',
          valueIdentifier: { value: '4' },
        }),
      ),
    ).toMatchObject({
      identifier: [{ value: '1' }, { value: '2' }, { value: '3' }, { value: '4' }],
    })
  })

  test('add: the first of a repeating element', async () => {
    expect(
      await value(
        PATIENT,
        operation('add', 'Patient', text('name', 'telecom'), {
          name: 'value',
          valueContactPoint: { system: 'phone', value: '0' },
        }),
      ),
    ).toMatchObject({ telecom: [{ system: 'phone', value: '0' }] })
  })

  test('add: a choice takes the name of the type of its value', async () => {
    expect(
      await value(
        PATIENT,
        operation('add', 'Patient', text('name', 'deceased'), {
          name: 'value',
          valueBoolean: true,
        }),
      ),
    ).toMatchObject({ deceasedBoolean: true })
  })

  test('add: an element without a type of its own is given part by part', async () => {
    expect(
      await value(
        PATIENT,
        operation('add', 'Patient', text('name', 'contact'), {
          name: 'value',
          part: [
            { name: 'name', valueHumanName: { text: 'a name' } },
            { name: 'gender', valueCode: 'male' },
          ],
        }),
      ),
    ).toMatchObject({ contact: [{ name: { text: 'a name' }, gender: 'male' }] })
  })

  test('insert: at a place of the list', async () => {
    expect(
      await value(
        PATIENT,
        operation('insert', 'Patient.identifier', number('index', 1), {
          name: 'value',
          valueIdentifier: { value: 'x' },
        }),
      ),
    ).toMatchObject({
      identifier: [{ value: '1' }, { value: 'x' }, { value: '2' }, { value: '3' }],
    })
  })

  test('delete: an element found by a condition; nothing found is nothing to do', async () => {
    expect(
      await value(
        PATIENT,
        operation('delete', "Patient.identifier.where(value = '2')"),
        operation('delete', 'Patient.maritalStatus'),
      ),
    ).toMatchObject({ identifier: [{ value: '1' }, { value: '3' }] })
  })

  test('replace: one value, also inside a list', async () => {
    expect(
      await value(
        PATIENT,
        operation('replace', 'Patient.birthDate', { name: 'value', valueDate: '2020-02-02' }),
        operation('replace', 'Patient.name[0].given[1]', { name: 'value', valueString: 'C' }),
      ),
    ).toMatchObject({ birthDate: '2020-02-02', name: [{ given: ['A', 'C'] }, { family: 'Two' }] })
  })

  test('replace: a choice by its name without type', async () => {
    expect(
      await value(
        { ...PATIENT, deceasedBoolean: false },
        operation('replace', 'Patient.deceased', { name: 'value', valueBoolean: true }),
      ),
    ).toMatchObject({ deceasedBoolean: true })
  })

  test('move: inside one list', async () => {
    expect(
      await value(
        PATIENT,
        operation('move', 'Patient.identifier', number('source', 2), number('destination', 0)),
      ),
    ).toMatchObject({ identifier: [{ value: '3' }, { value: '1' }, { value: '2' }] })
  })

  test.each<[string, unknown]>([
    ['several elements', operation('delete', 'Patient.identifier')],
    ['no element to replace', operation('replace', 'Patient.gender', code('value', 'male'))],
    ['an expression that is none', operation('delete', 'Patient.(')],
    ['a computed value', operation('delete', 'Patient.name.count()')],
    ['another resource', operation('delete', 'Patient.contained[0].status')],
    [
      'an element that R4 does not have',
      operation('add', 'Patient', text('name', 'colour'), text('value', 'x')),
    ],
    [
      'a single element that is there',
      operation('add', 'Patient', text('name', 'active'), {
        name: 'value',
        valueBoolean: false,
      }),
    ],
    [
      'a place behind the end',
      operation('move', 'Patient.identifier', number('source', 7), number('destination', 0)),
    ],
  ])('%s: it fails as a whole', async (_title, step) => {
    const resource = { ...PATIENT, contained: [{ resourceType: 'Observation', status: 'final' }] }

    expect(await patched(resource, operation('delete', 'Patient.birthDate'), step)).toMatchObject({
      ok: false,
      kind: 'failed',
      faults: [{ expression: 'Parameters.parameter[1]' }],
    })
  })

  test.each<[string, unknown]>([
    ['no operation', { name: 'something' }],
    ['no type', { name: 'operation', part: [text('path', 'Patient')] }],
    ['no path', { name: 'operation', part: [code('type', 'delete')] }],
    ['no value', operation('replace', 'Patient.birthDate')],
  ])('%s is no patch', async (_title, step) => {
    expect(await patched(PATIENT, step)).toMatchObject({ ok: false, kind: 'malformed' })
  })

  test('what is not a list of parameters is no patch', async () => {
    expect(await applyFhirPathPatch(PATIENT, { resourceType: 'Parameters' })).toMatchObject({
      kind: 'malformed',
    })
  })

  test('the resource stays as it was', async () => {
    const before = structuredClone(PATIENT)
    await patched(PATIENT, operation('delete', 'Patient.birthDate'))

    expect(PATIENT).toEqual(before)
  })
})

describe('the narrative after a patch (R4 3.1.0.6)', () => {
  const told = { ...PATIENT, text: { status: 'generated', div: '<div>One</div>' } }

  test('a text that was generated from what changed is dropped', () => {
    expect(withoutStaleNarrative(told, { ...told, birthDate: '2020-02-02' })).not.toHaveProperty(
      'text',
    )
  })

  test('one that people wrote, one that was patched too, and one where nothing changed stay', () => {
    const written = { ...told, text: { status: 'additional', div: '<div>One</div>' } }
    const renewed = { status: 'generated', div: '<div>Two</div>' }

    expect(withoutStaleNarrative(written, { ...written, birthDate: '2020-02-02' })).toHaveProperty(
      'text',
    )
    expect(
      withoutStaleNarrative(told, { ...told, birthDate: '2020-02-02', text: renewed }),
    ).toHaveProperty('text', renewed)
    expect(withoutStaleNarrative(told, told)).toHaveProperty('text')
  })
})
