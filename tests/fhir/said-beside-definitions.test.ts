import { expect, test } from 'vitest'
import { parseElements } from '../../src/fhir/r4/definition.ts'
import { DATA_TYPES, PARTS, RESOURCES } from '../../src/fhir/r4/definitions.ts'
import { SIMPLE_QUANTITIES } from '../../src/fhir/r4/simple-quantities.ts'
import { observation, rulesOf } from '../helpers/told-rules.ts'

// Rules of R4 4.0.1 that no element definition of the npm package carries.

test('a SimpleQuantity has no comparator (datatypes.html 2.24.0.11, sqty-1)', () => {
  const some = { value: 1, comparator: '<' }

  expect(rulesOf(observation({ referenceRange: [{ low: some }] }))).toEqual([
    'sqty-1 at Observation.referenceRange[0].low.comparator',
  ])
  expect(rulesOf(observation({ valueRange: { high: some } }))).toEqual([
    'sqty-1 at Observation.value.high.comparator',
  ])
  expect(rulesOf({ resourceType: 'ActivityDefinition', status: 'draft', quantity: some })).toEqual([
    'sqty-1 at ActivityDefinition.quantity.comparator',
  ])
  expect(
    rulesOf({
      resourceType: 'ActivityDefinition',
      status: 'draft',
      dosage: [{ doseAndRate: [{ doseQuantity: some }] }],
    }),
  ).toEqual(['sqty-1 at ActivityDefinition.dosage[0].doseAndRate[0].dose.comparator'])
})

test('so has one of a type that comes only inside others', () => {
  const specimen = {
    resourceType: 'Specimen',
    id: 's',
    collection: { quantity: { value: 1, comparator: '<' } },
  }
  const resource = observation({ contained: [specimen], specimen: { reference: '#s' } })

  expect(rulesOf(resource)).toEqual([
    'sqty-1 at Observation.contained[0].collection.quantity.comparator',
  ])
})

test('every element that is told to be a SimpleQuantity is a Quantity in the definitions', () => {
  const unknown = [...SIMPLE_QUANTITIES].filter((path) => {
    const cut = path.lastIndexOf('.')
    const lines = { ...RESOURCES, ...DATA_TYPES, ...PARTS }[path.slice(0, cut)] ?? ''
    const name = path.slice(cut + 1)
    const found = parseElements(lines).find((element) => element.name === name)
    return found?.types.every(({ code }) => code !== 'Quantity') !== false
  })

  expect(unknown).toEqual([])
})

test('a Quantity has one, also in a Ratio', () => {
  const some = { value: 1, comparator: '<' }

  expect(rulesOf(observation({ valueQuantity: some }))).toEqual([])
  expect(rulesOf(observation({ valueRatio: { numerator: some, denominator: some } }))).toEqual([])
})

test('contained resources have different ids (references.html 2.3.0.2)', () => {
  const contained = (...ids: string[]) =>
    observation({
      performer: ids.map((id) => ({ reference: `#${id}` })),
      contained: ids.map((id) => ({ resourceType: 'Practitioner', id })),
    })

  expect(rulesOf(contained('a', 'b'))).toEqual([])
  expect(rulesOf(contained('a', 'b', 'a'))).toEqual(['contained-id at Observation.contained[2].id'])
})

test('a reference has a reference, an identifier, a display or an extension (references.html 2.3.0)', () => {
  const subject = (value: object) => rulesOf(observation({ subject: value }))
  const extension = [{ url: 'http://example.org/x', valueString: 'y' }]

  expect(subject({ type: 'Patient' })).toEqual(['reference-content at Observation.subject'])
  expect(subject({ id: 'a' })).toEqual(['reference-content at Observation.subject'])
  expect(subject({})).toEqual(['empty at Observation.subject'])
  for (const one of [
    { reference: 'Patient/1' },
    { identifier: { value: '1' } },
    { display: 'a child' },
    { extension },
    { _reference: { extension } },
  ])
    expect(subject({ type: 'Patient', ...one })).toEqual([])
})

test('a literal reference is a URL, so it has no white space (references.html 2.3.0.1)', () => {
  const told = (reference: string) => rulesOf(observation({ subject: { reference } }))

  for (const spaced of ['http://a.example/a b/Patient/1', ' Patient/1', 'Patient/1 ', 'a\tb'])
    expect(told(spaced)).toEqual(['reference-literal at Observation.subject.reference'])
  expect(told('Patient?name=a b')).toEqual([])
  expect(told('http://a.example/fhir/Patient/1')).toEqual([])
})

test('the id of an element has no spaces (element.html, Element.id)', () => {
  const told = (id: string) => rulesOf(observation({ code: { id, text: 'a' } }))

  expect(told('a/b#c')).toEqual([])
  expect(told('a b')).toEqual(['element-id at Observation.code.id'])
  expect(told('a\n')).toEqual(['element-id at Observation.code.id'])
  expect(told('')).toEqual(['empty at Observation.code.id'])
  expect(rulesOf(observation({ _status: { id: 'a b' } }))).toEqual([
    'element-id at Observation.status.id',
  ])
})

test('a narrative that is empty says so in words (R4 narrative-status; txt-2)', () => {
  const told = (content: string) =>
    rulesOf(
      observation({
        text: {
          status: 'empty',
          div: `<div xmlns="http://www.w3.org/1999/xhtml">${content}</div>`,
        },
      }),
    )

  expect(told('No text was provided.')).toEqual([])
  expect(told('')).toEqual(['txt-2 at Observation.text.div'])
})
