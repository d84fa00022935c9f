import { expect, test } from 'vitest'
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
