import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { z } from 'zod'
import { AppError } from '../../src/errors.ts'
import { REGISTRY } from '../../src/fhir/registry.ts'
import { SUMMARY_ELEMENTS } from '../../src/fhir/r4/summary-elements.ts'
import { subsetParameters } from '../../src/fhir/subset-parameters.ts'
import { type Subset, subset } from '../../src/fhir/summary.ts'
import { validateResource } from '../../src/fhir/validate.ts'

// Which elements stand in a summary is typed from memory of the pages of the resources (HL7 FHIR R4 4.0.1,
// the mark of the summary); which part each form holds from R4 3.1.1.5.8 and 3.1.1.5.9.

const SUBSETTED = {
  system: 'http://terminology.hl7.org/CodeSystem/v3-ObservationValue',
  code: 'SUBSETTED',
  display: 'Resource encoded in summary mode',
}

const patient = {
  resourceType: 'Patient',
  id: 'a',
  meta: { versionId: '2', tag: [{ system: 'https://footing.example/own', code: 'mine' }] },
  implicitRules: 'https://footing.example/rules',
  language: 'en',
  text: { status: 'generated', div: '<div xmlns="http://www.w3.org/1999/xhtml">A child</div>' },
  contained: [{ resourceType: 'Organization', id: 'o' }],
  extension: [{ url: 'https://footing.example/x', valueString: 'x' }],
  identifier: [{ value: '1' }],
  active: true,
  name: [{ family: 'Invented' }],
  birthDate: '2024-01',
  _birthDate: { extension: [{ url: 'https://footing.example/about', valueString: 'about' }] },
  deceasedBoolean: false,
  maritalStatus: { text: 'none' },
  multipleBirthInteger: 2,
  photo: [{ contentType: 'image/png' }],
  contact: [{ name: { family: 'Invented' } }],
  communication: [{ language: { text: 'English' } }],
  generalPractitioner: [{ reference: 'Practitioner/p' }],
  link: [{ other: { reference: 'Patient/b' }, type: 'seealso' }],
}

const Part = z.record(z.string(), z.unknown())
const of = (resource: object, asked: Subset) =>
  Part.parse(JSON.parse(subset(JSON.stringify(resource), asked)))
const names = (resource: object, asked: Subset) => Object.keys(of(resource, asked))
const ROOT = ['resourceType', 'id', 'meta', 'implicitRules']

test('S20: true is what R4 marks for the summary', () => {
  expect(names(patient, { summary: 'true' })).toEqual([
    ...ROOT,
    'identifier',
    'active',
    'name',
    'birthDate',
    '_birthDate',
    'deceasedBoolean',
    'link',
  ])
})

test('S20: text is the narrative and what must be there', () => {
  expect(names(patient, { summary: 'text' })).toEqual([...ROOT, 'text'])
  expect(
    names(
      { resourceType: 'Observation', status: 'final', code: { text: 'x' }, valueBoolean: true },
      { summary: 'text' },
    ),
  ).toEqual(['resourceType', 'status', 'code', 'meta'])
})

test('S20: data is everything but the narrative', () => {
  expect(names(patient, { summary: 'data' })).toEqual(
    Object.keys(patient).filter((name) => name !== 'text'),
  )
})

test('S20: false, and nothing asked for, is the text as it is stored', () => {
  const body = '{"resourceType":"Patient" , "id":"a"}'

  expect(subset(body, { summary: 'false' })).toBe(body)
  expect(subset(body, {})).toBe(body)
})

test.each<[string[], string[]]>([
  [['birthDate'], ['birthDate', '_birthDate']],
  [
    ['name', 'text'],
    ['text', 'name'],
  ],
  [['deceased'], ['deceasedBoolean']],
  [['deceased[x]'], ['deceasedBoolean']],
  [['deceasedBoolean'], ['deceasedBoolean']],
  [['deceasedDateTime'], []],
  [
    ['contained', 'extension'],
    ['contained', 'extension'],
  ],
  [['nothing'], []],
])('S20: _elements %j keeps %j', (elements, kept) => {
  expect(names(patient, { elements })).toEqual([...ROOT, ...kept])
})

test('S20: what must be there stays, whatever is asked for', () => {
  const observation = {
    resourceType: 'Observation',
    id: 'a',
    status: 'final',
    code: { text: 'x' },
    valueQuantity: { value: 1 },
  }

  expect(names(observation, { elements: ['value'] })).toEqual([
    'resourceType',
    'id',
    'status',
    'code',
    'valueQuantity',
    'meta',
  ])
})

test('S20: every subset is tagged, once, beside the tags that were there', () => {
  const own = { system: 'https://footing.example/own', code: 'mine' }
  for (const asked of [{ summary: 'true' }, { summary: 'data' }, { elements: ['name'] }] as const) {
    const once = of(patient, asked)
    expect(once['meta']).toEqual({ versionId: '2', tag: [own, SUBSETTED] })
    expect(of(once, asked)).toEqual(once)
  }
  expect(of({ resourceType: 'Patient' }, { summary: 'true' })).toEqual({
    resourceType: 'Patient',
    meta: { tag: [SUBSETTED] },
  })
})

test('S20: nested parts are summarised too, and what is large is left out', () => {
  const observation = {
    resourceType: 'Observation',
    status: 'final',
    code: { text: 'x' },
    component: [
      {
        id: 'c',
        code: { text: 'y' },
        valueInteger: 1,
        interpretation: [{ text: 'left out' }],
        referenceRange: [{ text: 'left out' }],
      },
    ],
  }
  const document = {
    resourceType: 'DocumentReference',
    status: 'current',
    content: [{ attachment: { contentType: 'text/plain', data: 'QQ==', title: 'A letter' } }],
  }

  expect(of(observation, { summary: 'true' })['component']).toEqual([
    { id: 'c', code: { text: 'y' }, valueInteger: 1 },
  ])
  expect(of(document, { summary: 'true' })['content']).toEqual([
    { attachment: { contentType: 'text/plain', title: 'A letter' } },
  ])
  expect(of(document, { summary: 'data' })['content']).toEqual(document.content)
})

test('S20: nothing empty is left behind', () => {
  const encounter = {
    resourceType: 'Encounter',
    status: 'planned',
    class: { code: 'AMB' },
    participant: [{ period: { start: '2026-03-02' } }],
  }

  const part = of(encounter, { summary: 'true' })

  expect(part['participant']).toEqual(encounter.participant)
  expect(validateResource(part)).toEqual([])
})

test('1.6: a decimal keeps its digits in every subset', () => {
  const body =
    '{"resourceType":"Observation","status":"final","code":{"text":"x"},"valueQuantity":{"value":1.50}}'

  for (const asked of [{ summary: 'true' }, { summary: 'data' }, { elements: ['value'] }] as const)
    expect(subset(body, asked)).toContain('"value":1.50}')
})

test.each(REGISTRY.map(({ type }) => type))('the summary of %s is known', (type) => {
  expect(SUMMARY_ELEMENTS[type]?.length).toBeGreaterThan(0)
})

test('no subset of a valid resource is invalid', () => {
  const { implicitRules: _refusedHere, contained: _needsReference, ...valid } = patient
  const asked = fc.oneof(
    fc.record({ summary: fc.constantFrom('true', 'text', 'data') }),
    fc.record({ elements: fc.subarray(Object.keys(valid)) }),
  )

  expect(validateResource(valid)).toEqual([])
  fc.assert(
    fc.property(asked, (part) => {
      expect(validateResource(of(valid, part))).toEqual([])
    }),
  )
})

test('the parameters are read together', () => {
  expect(subsetParameters([])).toEqual({})
  expect(subsetParameters([['_summary', 'data']])).toEqual({ summary: 'data' })
  expect(subsetParameters([['_summary', '']])).toEqual({})
  expect(
    subsetParameters([
      ['_elements', 'a,b'],
      ['_elements', 'c'],
      ['_summary', 'false'],
    ]),
  ).toEqual({ elements: ['a', 'b', 'c'], summary: 'false' })
})

test.each<[[string, string][], string[]]>([
  [[['_summary', 'count']], ['http._summary']],
  [[['_summary', 'yes']], ['http._summary']],
  [
    [
      ['_summary', 'true'],
      ['_summary', 'text'],
    ],
    ['http._summary'],
  ],
  [[['_elements', 'name.family']], ['http._elements']],
  [[['_elements', 'a,,b']], ['http._elements']],
  [
    [
      ['_summary', 'true'],
      ['_elements', 'name'],
    ],
    ['http._elements'],
  ],
])('%j is refused', (pairs, expressions) => {
  let thrown: unknown
  try {
    subsetParameters(pairs)
  } catch (error) {
    thrown = error
  }

  expect(thrown).toBeInstanceOf(AppError)
  expect(thrown instanceof AppError && thrown.faults.map(({ expression }) => expression)).toEqual(
    expressions,
  )
})
