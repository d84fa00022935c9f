import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { decimal, writeJson } from '../../src/fhir/decimal.ts'
import { applyFhirPathPatch } from '../../src/fhir/fhirpath-patch.ts'
import { withoutStaleNarrative } from '../../src/fhir/stale-narrative.ts'
import { watchdog } from '../helpers/watchdog.ts'

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

  test.each<[string, string, unknown]>([
    ['several elements', 'part[1]', operation('delete', 'Patient.identifier')],
    [
      'no element to replace',
      'part[1]',
      operation('replace', 'Patient.gender', code('value', 'male')),
    ],
    ['an expression that is none', 'part[1]', operation('delete', 'Patient.(')],
    ['a computed value', 'part[1]', operation('delete', 'Patient.name.count()')],
    ['another resource', 'part[1]', operation('delete', 'Patient.contained[0].status')],
    ['a resource as a whole', 'part[1]', operation('delete', 'Patient.contained[0]')],
    ['the resource itself', 'part[1]', operation('delete', 'Patient')],
    [
      'an element that R4 does not have',
      'part[2]',
      operation('add', 'Patient', text('name', 'colour'), text('value', 'x')),
    ],
    [
      'a name that every object has',
      'part[2]',
      operation('add', 'Patient', text('name', 'constructor'), text('value', 'x')),
    ],
    [
      'the prototype',
      'part[2]',
      operation('add', 'Patient', text('name', '__proto__'), text('value', 'x')),
    ],
    [
      'a resource put into another',
      'part[3]',
      operation('add', 'Patient', text('name', 'contained'), text('value', 'x')),
    ],
    [
      'a single element that is there',
      'part[2]',
      operation('add', 'Patient', text('name', 'active'), {
        name: 'value',
        valueBoolean: false,
      }),
    ],
    [
      'a second type of a choice',
      'part[2]',
      operation('add', 'Patient', text('name', 'multipleBirth'), number('value', 2)),
    ],
    [
      'a value of another type',
      'part[2]',
      operation('replace', 'Patient.birthDate', text('value', '2020-01-01')),
    ],
    [
      'a type that the choice does not have',
      'part[3]',
      operation('add', 'Patient', text('name', 'deceased'), text('value', 'yes')),
    ],
    [
      'a move from behind the end',
      'part[2]',
      operation('move', 'Patient.identifier', number('source', 3), number('destination', 0)),
    ],
    [
      'a move to behind the end',
      'part[3]',
      operation('move', 'Patient.identifier', number('source', 0), number('destination', 3)),
    ],
    [
      'an insertion behind the end',
      'part[2]',
      operation('insert', 'Patient.identifier', number('index', 4), {
        name: 'value',
        valueIdentifier: { value: '4' },
      }),
    ],
    [
      'a part of a list',
      'part[1]',
      operation('move', 'Patient.identifier.tail()', number('source', 0), number('destination', 1)),
    ],
    [
      'the values of two lists',
      'part[1]',
      operation('move', '(Patient.name.given)', number('source', 0), number('destination', 1)),
    ],
    ['another id', '', operation('replace', 'Patient.id', { name: 'value', valueId: 'b' })],
  ])('%s: it fails as a whole', async (_title, part, step) => {
    const resource = {
      ...PATIENT,
      name: [{ given: ['A', 'B'] }, { given: ['C'] }],
      multipleBirthBoolean: true,
      contained: [{ resourceType: 'Observation', status: 'final' }],
    }

    expect(
      await patched(resource, operation('delete', 'Patient.birthDate.extension'), step),
    ).toMatchObject({
      ok: false,
      kind: 'failed',
      faults: [
        { expression: part === '' ? 'Parameters.parameter' : `Parameters.parameter[1].${part}` },
      ],
    })
  })

  test.each([
    "Patient.where(language.matches('^(a+)+$'))",
    '(1).repeat($this + 1)',
    "`matches`('a')",
    'Patient.name.aggregate($total & $total)',
    "Patient.name.trace('x')",
    'Patient.managingOrganization.resolve()',
    'Patient.descendants()',
    '%context.name',
    'Patient.name | Patient.contact.name',
    'Patient.name /* a comment */ [0]',
    `Patient.name.where(${'a.'.repeat(250)}a)`,
    '  ',
  ])('%s is not evaluated: it could run long, log or ask elsewhere', async (path) => {
    expect(
      await patched({ ...PATIENT, language: `${'a'.repeat(40)}!` }, operation('delete', path)),
    ).toMatchObject({
      ok: false,
      kind: 'failed',
      faults: [{ expression: 'Parameters.parameter[0].part[1]' }],
    })
  })

  test.each<[string, unknown]>([
    ['no operation', { name: 'something' }],
    ['no type', { name: 'operation', part: [text('path', 'Patient')] }],
    ['no path', { name: 'operation', part: [code('type', 'delete')] }],
    ['no value', operation('replace', 'Patient.birthDate')],
    ['an unknown type', operation('merge', 'Patient')],
    ['an unknown part', operation('delete', 'Patient', text('reason', 'x'))],
    ['a part given twice', operation('delete', 'Patient', text('path', 'Patient'))],
    ['an empty value', operation('replace', 'Patient.birthDate', { name: 'value' })],
    [
      'a value of two types',
      operation('replace', 'Patient.birthDate', {
        name: 'value',
        valueDate: '2020-01-01',
        valueString: 'x',
      }),
    ],
    [
      'a resource as value',
      operation('add', 'Patient', text('name', 'contained'), {
        name: 'value',
        resource: { resourceType: 'Observation' },
      }),
    ],
    [
      'an index below zero',
      operation('insert', 'Patient.identifier', number('index', -1), text('value', 'x')),
    ],
    [
      'an index that is text',
      operation('insert', 'Patient.identifier', text('index', '1'), text('value', 'x')),
    ],
    [
      'a half place',
      operation('move', 'Patient.identifier', number('source', 0.5), number('destination', 1)),
    ],
    [
      'a path that is a number',
      { name: 'operation', part: [code('type', 'delete'), number('path', 1)] },
    ],
  ])('%s is no patch', async (_title, step) => {
    expect(await patched(PATIENT, step)).toMatchObject({ ok: false, kind: 'malformed' })
  })

  test.each<[string, unknown]>([
    [
      'another resource',
      { resourceType: 'Bundle', parameter: [operation('delete', 'Patient.active')] },
    ],
    ['no resource type', { parameter: [operation('delete', 'Patient.active')] }],
    ['no parameter', { resourceType: 'Parameters', parameter: [] }],
    [
      'more than 200 operations',
      {
        resourceType: 'Parameters',
        parameter: Array.from({ length: 201 }, () => operation('delete', 'Patient.active')),
      },
    ],
    ['null', null],
    ['a list', []],
  ])('%s is no patch', async (_title, parameters) => {
    expect(await applyFhirPathPatch(PATIENT, parameters)).toMatchObject({
      ok: false,
      kind: 'malformed',
      faults: [{ expression: 'Parameters.parameter' }],
    })
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

test('a name that is a word of FHIRPath stands in backticks: text.`div`', async () => {
  const resource = { ...PATIENT, text: { status: 'additional', div: '<div>One</div>' } }
  const step = operation('replace', 'Patient.text.`div`', text('value', '<div>Two</div>'))

  expect(await value(resource, step)).toHaveProperty('text.div', '<div>Two</div>')
})

test('many paths on a large resource are refused as too costly, one is taken', async () => {
  const large = { ...PATIENT, name: [{ family: 'x'.repeat(3_000_000) }] }
  const step = operation('delete', 'Patient.identifier[0]')

  expect(await patched(large, step)).toMatchObject({ ok: true })
  expect(await patched(large, ...Array.from({ length: 4 }, () => step))).toMatchObject({
    kind: 'failed',
    faults: [{ code: 'too-costly', expression: 'Parameters.parameter[3].part[1]' }],
  })
})

const brackets = (depth: number): string =>
  `Patient.name.where(${'('.repeat(depth - 1)}false${')'.repeat(depth - 1)})`
const words = (count: number): string => `Patient${'.name'.repeat(count / 2)}[`.slice(0, -1)

test.each([
  ['8 brackets in each other', brackets(8), { ok: true }],
  ['9 brackets in each other', brackets(9), { kind: 'failed', faults: [{ code: 'too-costly' }] }],
  ['59 words and signs', words(58), { ok: true }],
  ['61 words and signs', words(60), { kind: 'failed', faults: [{ code: 'too-costly' }] }],
  [
    'a function that finds no element',
    'Patient.name.union(Patient)',
    { kind: 'failed', faults: [{ code: 'not-supported' }] },
  ],
])('a path of %s', async (_title, path, expected) => {
  expect(await patched(PATIENT, operation('delete', path))).toMatchObject(expected)
})

test('what costs more than a patch may is refused before it holds the process', async () => {
  // Each held the process for seconds to minutes when the characters of a path were counted, not its steps.
  const many = { ...PATIENT, name: Array.from({ length: 30_000 }, () => ({})) }
  const given = { ...PATIENT, name: [{ given: Array.from({ length: 40_000 }, () => 'a') }] }
  const watch = watchdog(20_000)
  const crafted: [object, string][] = [
    [many, `Patient.name.where(${'1=1 and '.repeat(12)}false)`],
    [many, `Patient.name.where(${'given.exists() and '.repeat(7)}false)`],
    [many, `Patient.name${'.where(true)'.repeat(11)}`],
    [given, `Patient.name.given.where(${"'b' in $this or ".repeat(12)}false)`],
  ]

  for (const [index, [resource, path]] of crafted.entries()) {
    watch.seen(index)
    expect(await patched(resource, operation('delete', path))).toMatchObject({
      kind: 'failed',
      faults: [{ code: 'too-costly', expression: 'Parameters.parameter[0].part[1]' }],
    })
  }
  watch.stop()
}, 60_000)

const EXTENSION = { extension: [{ url: 'http://example.org/x', valueCode: 'x' }] }

describe('what R4 JSON asks of a patched resource', () => {
  test('the last one of a list is deleted together with the list', async () => {
    const result = await value(
      { ...PATIENT, telecom: [{ value: '1' }] },
      operation('delete', 'Patient.telecom[0]'),
    )

    expect(result).toEqual(PATIENT)
  })

  test('a choice that is replaced by a value of another type changes its name', async () => {
    const result = await value(
      { ...PATIENT, deceasedBoolean: true, _deceasedBoolean: EXTENSION },
      operation('replace', 'Patient.deceased', { name: 'value', valueDateTime: '2024-01-01' }),
    )

    expect(result).toEqual({ ...PATIENT, deceasedDateTime: '2024-01-01' })
  })

  test('a primitive is deleted and replaced together with its extensions', async () => {
    const resource = { ...PATIENT, _birthDate: EXTENSION }
    const { birthDate: _gone, ...without } = PATIENT

    expect(await value(resource, operation('delete', 'Patient.birthDate'))).toEqual(without)
    expect(
      await value(
        resource,
        operation('replace', 'Patient.birthDate', { name: 'value', valueDate: '2021' }),
      ),
    ).toEqual({ ...PATIENT, birthDate: '2021' })
  })

  const TWINS = {
    resourceType: 'Patient',
    name: [{ given: ['A', 'B', 'C'], _given: [null, EXTENSION, null] }],
  }
  const path = 'Patient.name[0].given'

  test.each<[string, unknown, unknown]>([
    ['delete', operation('delete', `${path}[0]`), { given: ['B', 'C'], _given: [EXTENSION, null] }],
    ['delete of what has it', operation('delete', `${path}[1]`), { given: ['A', 'C'] }],
    [
      'insert',
      operation('insert', path, number('index', 0), text('value', 'X')),
      { given: ['X', 'A', 'B', 'C'], _given: [null, null, EXTENSION, null] },
    ],
    [
      'move',
      operation('move', path, number('source', 1), number('destination', 2)),
      { given: ['A', 'C', 'B'], _given: [null, null, EXTENSION] },
    ],
    [
      'add',
      operation('add', 'Patient.name[0]', text('name', 'given'), {
        name: 'value',
        _valueString: EXTENSION,
      }),
      { given: ['A', 'B', 'C', null], _given: [null, EXTENSION, null, EXTENSION] },
    ],
  ])('extensions stay with their value of a list: %s', async (_title, step, name) => {
    expect(await value(TWINS, step)).toEqual({ resourceType: 'Patient', name: [name] })
  })

  test('an extension is added to a primitive, and taken from it', async () => {
    const [extension] = EXTENSION.extension
    const add = operation('add', 'Patient.birthDate', text('name', 'extension'), {
      name: 'value',
      valueExtension: extension,
    })

    expect(await value(PATIENT, add)).toEqual({ ...PATIENT, _birthDate: EXTENSION })
    expect(await value(PATIENT, add, operation('delete', 'Patient.birthDate.extension'))).toEqual(
      PATIENT,
    )
  })

  test('an extension is added to one value of a list', async () => {
    const [valueExtension] = EXTENSION.extension
    const result = await value(
      PATIENT,
      operation('add', 'Patient.name[0].given[1]', text('name', 'extension'), {
        name: 'value',
        valueExtension,
      }),
    )

    expect(result).toHaveProperty('name.0._given', [null, EXTENSION])
  })

  test('parts within parts: choices, repeating elements and elements of the same kind', async () => {
    const item = (linkId: string, ...more: readonly Part[]) => [text('linkId', linkId), ...more]
    const result = await value(
      { resourceType: 'QuestionnaireResponse', status: 'completed' },
      operation('add', 'QuestionnaireResponse', text('name', 'item'), {
        name: 'value',
        part: item(
          '1',
          { name: 'answer', part: [{ name: 'value', valueDecimal: 1.5 }] },
          { name: 'answer', part: [{ name: 'value', valueCoding: { code: 'x' } }] },
          { name: 'item', part: item('1.1') },
        ),
      }),
    )

    expect(result).toHaveProperty('item', [
      {
        linkId: '1',
        answer: [{ valueDecimal: 1.5 }, { valueCoding: { code: 'x' } }],
        item: [{ linkId: '1.1' }],
      },
    ])
  })

  test('a part that its element does not have is named', async () => {
    const step = operation('add', 'Patient', text('name', 'contact'), {
      name: 'value',
      part: [code('gender', 'male'), text('colour', 'red')],
    })

    expect(await patched(PATIENT, step)).toMatchObject({
      kind: 'failed',
      faults: [{ expression: 'Parameters.parameter[0].part[3].part[1]' }],
    })
  })

  test('decimals keep their digits, written and left alone', async () => {
    const observation = {
      resourceType: 'Observation',
      valueQuantity: { value: decimal('6.0'), unit: 'mm' },
    }
    const result = await value(
      observation,
      operation('replace', 'Observation.value.unit', text('value', 'cm')),
      operation('add', 'Observation', text('name', 'extension'), {
        name: 'value',
        valueExtension: { url: 'http://example.org/x' },
      }),
      operation('add', 'Observation.extension[0]', text('name', 'value'), {
        name: 'value',
        valueDecimal: decimal('1.50'),
      }),
    )

    expect(writeJson(result)).toBe(
      '{"resourceType":"Observation","valueQuantity":{"value":6.0,"unit":"cm"},"extension":[{"url":"http://example.org/x","valueDecimal":1.50}]}',
    )
    expect(result).toHaveProperty('valueQuantity.value', observation.valueQuantity.value)
  })

  test('what is not touched is the same object', async () => {
    const result = await value(PATIENT, operation('delete', 'Patient.name[0].given[0]'))

    expect(Reflect.get(Object(result), 'identifier')).toBe(PATIENT.identifier)
    expect((result as typeof PATIENT).name[1]).toBe(PATIENT.name[1])
  })
})

test('what is inserted anywhere in a list and deleted again leaves it as it was', async () => {
  await fc.assert(
    fc.asyncProperty(fc.nat({ max: 3 }), fc.nat({ max: 2 }), async (index, source) => {
      const inserted = operation('insert', 'Patient.identifier', number('index', index), {
        name: 'value',
        valueIdentifier: { value: 'x' },
      })
      const deleted = operation('delete', `Patient.identifier[${index}]`)
      expect(await value(PATIENT, inserted, deleted)).toEqual(PATIENT)

      const destination = index % 3
      const there = number('source', source)
      expect(
        await value(
          PATIENT,
          operation('move', 'Patient.identifier', there, number('destination', destination)),
          operation(
            'move',
            'Patient.identifier',
            number('source', destination),
            number('destination', source),
          ),
        ),
      ).toEqual(PATIENT)
    }),
    { numRuns: 20 },
  )
})

describe('the narrative after a patch (R4 3.1.0.6)', () => {
  const told = { ...PATIENT, text: { status: 'generated', div: '<div>One</div>' } }

  test('a text that was generated from what changed is dropped', () => {
    expect(withoutStaleNarrative(told, { ...told, birthDate: '2020-02-02' })).not.toHaveProperty(
      'text',
    )
  })

  test('so is a text that was generated from the elements and some extensions', () => {
    const before = { ...told, text: { status: 'extensions', div: '<div>One</div>' } }

    expect(withoutStaleNarrative(before, { ...before, active: false })).not.toHaveProperty('text')
  })

  test('a patch that writes what was there already changes nothing', () => {
    const after = { ...told, name: structuredClone(told.name) }

    expect(withoutStaleNarrative(told, after)).toBe(after)
  })

  test('so is one to which something was added that nobody can tell from the rest', () => {
    const before = { ...told, text: { status: 'additional', div: '<div>One, and more</div>' } }

    expect(withoutStaleNarrative(before, { ...before, active: false })).not.toHaveProperty('text')
  })

  test('one that was patched too, and one where nothing changed stay', () => {
    const renewed = { status: 'generated', div: '<div>Two</div>' }

    expect(
      withoutStaleNarrative(told, { ...told, birthDate: '2020-02-02', text: renewed }),
    ).toHaveProperty('text', renewed)
    expect(withoutStaleNarrative(told, told)).toHaveProperty('text')
  })

  test.each(['generated', 'extensions'])('a text (%s) where there was none stays', (status) => {
    const after = { ...PATIENT, text: { status, div: '<div>One</div>' } }

    expect(withoutStaleNarrative(PATIENT, after)).toBe(after)
  })
})
