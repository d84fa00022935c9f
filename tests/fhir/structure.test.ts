import { expect, test } from 'vitest'

import { parseText } from '../../src/fhir/json-body.ts'
import { asResource, isResource, isTyped, validateResource } from '../../src/fhir/validate.ts'
import { officialExamples } from '../helpers/r4-cases.ts'
import { observation, patient, rulesOf } from '../helpers/told-rules.ts'

const extension = { url: 'http://example.org/x', valueString: 'y' }

/** Carries a modifierExtension that nobody here knows, so it must be refused (2.5.0.2.1). */
const WITH_MODIFIER = 'Basic-referral.json'

for (const { name, text } of officialExamples().filter(({ name }) => name !== WITH_MODIFIER)) {
  test(`the official example ${name} is accepted`, () => {
    const body = parseText(text)

    expect(body.ok && rulesOf(body.value)).toEqual([])
  })
}

test('the official example with a modifierExtension is refused', () => {
  const example = officialExamples().find(({ name }) => name === WITH_MODIFIER)
  const body = parseText(example?.text ?? '')

  expect(body.ok && rulesOf(body.value)).toEqual([
    'unknown-modifier-extension at Basic.modifierExtension',
  ])
})

/** What must be accepted: the twins of json.html 2.6.2.2, and what only looks wrong. */
const ACCEPTED: [why: string, resource: object][] = [
  ['an extension in place of a value', patient({ _birthDate: { extension: [extension] } })],
  [
    'an extension in place of a required value',
    { resourceType: 'Observation', code: { text: 'x' }, _status: { extension: [extension] } },
  ],
  [
    'twins that line up with null',
    patient({
      name: [{ given: ['Au', null], _given: [null, { extension: [extension] }] }],
    }),
  ],
  [
    'a twin shorter than its values',
    patient({ name: [{ given: ['A', 'B', 'C'], _given: [null, { id: 'x' }] }] }),
  ],
  ['a repeating twin alone', patient({ name: [{ _given: [{ extension: [extension] }] }] })],
  [
    'an id of an element with any characters but spaces',
    patient({ name: [{ id: 'a/b_c', text: 'x' }] }),
  ],
  ['a urn reference of any type', observation({ subject: { reference: 'urn:uuid:1' } })],
  ['a reference without literal', observation({ subject: { display: 'a child' } })],
  [
    'a reference to another server',
    observation({ subject: { reference: 'http://a.example/Patient/1' } }),
  ],
  [
    'a URL that only looks like a reference',
    observation({ subject: { reference: 'http://a.example/Page/1' } }),
  ],
  ['a version of a target', observation({ subject: { reference: 'Patient/1/_history/2' } })],
  ['a search for a target', observation({ subject: { reference: 'Patient?identifier=a|b' } })],
  [
    'a contained resource that only refers back',
    patient({
      contained: [{ ...observation({}), id: 'o', subject: { reference: '#' } }],
    }),
  ],
]

for (const [why, resource] of ACCEPTED) {
  test(`${why} is accepted`, () => {
    expect(rulesOf(resource)).toEqual([])
  })
}

/** What must be refused, with the rule and the place. */
const REFUSED: [why: string, resource: unknown, faults: string[]][] = [
  ['no resourceType', { active: true }, ['resource-type at Resource.resourceType']],
  ['a list', [patient({})], ['type at Resource']],
  ['nothing', null, ['type at Resource']],
  [
    'an abstract type',
    { resourceType: 'DomainResource' },
    ['resource-type at Resource.resourceType'],
  ],
  [
    'a name of the prototype',
    { resourceType: 'constructor' },
    ['resource-type at Resource.resourceType'],
  ],
  [
    'a property of the prototype',
    patient({ toString: 1 }),
    ['unknown-element at Patient.toString'],
  ],
  [
    'a property in the wrong case',
    patient({ birthdate: '2022' }),
    ['unknown-element at Patient.birthdate'],
  ],
  ['a name that is no element name', patient({ 'Max Muster': 1 }), ['unknown-element at Patient']],
  [
    'resourceType in a data type',
    patient({ name: [{ resourceType: 'Patient', text: 'x' }] }),
    ['unknown-element at Patient.name[0].resourceType'],
  ],
  ['a text for an object', patient({ maritalStatus: 'M' }), ['type at Patient.maritalStatus']],
  ['null in a list of objects', patient({ name: [null] }), ['null at Patient.name[0]']],
  ['a list in a list', patient({ name: [[{ text: 'x' }]] }), ['cardinality at Patient.name[0]']],
  [
    'a list for a primitive',
    patient({ birthDate: ['2022'] }),
    ['cardinality at Patient.birthDate'],
  ],
  [
    'a primitive for a list',
    patient({ name: [{ given: 'A' }] }),
    ['cardinality at Patient.name[0].given'],
  ],
  [
    'both twins null',
    patient({ name: [{ given: ['A', null], _given: [null, null] }] }),
    ['null at Patient.name[0].given[1]', 'null at Patient.name[0].given[1]'],
  ],
  ['an empty twin', patient({ _birthDate: {} }), ['empty at Patient.birthDate']],
  [
    'an unknown element in a twin',
    patient({ _birthDate: { a: 1 } }),
    ['unknown-element at Patient.birthDate.a'],
  ],
  ['a twin of the id', patient({ _id: { id: 'x' } }), ['unknown-element at Patient._id']],
  [
    'the twin of another choice',
    observation({ valueString: 'x', _valueInteger: { id: 'x' } }),
    ['choice at Observation.value'],
  ],
  [
    'three choices, named once',
    observation({ valueString: 'x', valueInteger: 1, valueBoolean: true }),
    ['choice at Observation.value'],
  ],
  [
    'implicitRules',
    patient({ implicitRules: 'http://a.example' }),
    ['unknown-modifier-extension at Patient.implicitRules'],
  ],
  [
    'a nested modifierExtension',
    patient({ contact: [{ name: { text: 'x' }, modifierExtension: [extension] }] }),
    ['unknown-modifier-extension at Patient.contact[0].modifierExtension'],
  ],
  [
    'a type that R4 does not have',
    observation({ subject: { reference: 'Child/1' } }),
    ['reference-target at Observation.subject.reference'],
  ],
  [
    'a wrong type at another server',
    observation({ subject: { reference: 'https://a.example/fhir/Task/1' } }),
    ['reference-target at Observation.subject.reference'],
  ],
  [
    'a wrong stated type',
    observation({ subject: { type: 'Task', display: 'x' } }),
    ['reference-target at Observation.subject.type'],
  ],
  [
    'a stated type that is not the literal one',
    observation({ subject: { type: 'Group', reference: 'Patient/1' } }),
    ['reference-type at Observation.subject.type'],
  ],
  [
    'a nested reference to a wrong type',
    patient({ link: [{ other: { reference: 'Organization/1' }, type: 'refer' }] }),
    ['reference-target at Patient.link[0].other.reference'],
  ],
  [
    'a contained resource of a wrong type',
    observation({
      contained: [{ resourceType: 'Task', id: 't', status: 'draft', intent: 'order' }],
      subject: { reference: '#t' },
    }),
    ['reference-target at Observation.subject.reference'],
  ],
  [
    'a contained resource that contains',
    patient({
      contained: [patient({ id: 'a', contained: [patient({ id: 'b' })] })],
      link: [{ other: { reference: '#a' }, type: 'seealso' }],
    }),
    ['dom-2 at Patient.contained[0].contained'],
  ],
  [
    'a contained resource with a version',
    patient({
      contained: [patient({ id: 'a', meta: { versionId: '1' } })],
      link: [{ other: { reference: '#a' }, type: 'seealso' }],
    }),
    ['dom-4 at Patient.contained[0].meta'],
  ],
  [
    'a contained resource with a label',
    patient({
      contained: [patient({ id: 'a', meta: { security: [{ code: 'R' }] } })],
      link: [{ other: { reference: '#a' }, type: 'seealso' }],
    }),
    ['dom-5 at Patient.contained[0].meta'],
  ],
  [
    'a faulty contained resource',
    patient({
      contained: [patient({ id: 'a', gender: 'x' })],
      link: [{ other: { reference: '#a' }, type: 'seealso' }],
    }),
    ['code at Patient.contained[0].gender'],
  ],
  [
    'contained where R4 has none',
    { resourceType: 'Bundle', type: 'collection', contained: [patient({})] },
    ['unknown-element at Bundle.contained', 'dom-3 at Bundle.contained[0]'],
  ],
  [
    'a faulty resource in Parameters',
    {
      resourceType: 'Parameters',
      parameter: [{ name: 'a', part: [{ name: 'b', resource: patient({ active: 1 }) }] }],
    },
    ['primitive.boolean at Parameters.parameter[0].part[0].resource.active'],
  ],
  [
    'a required coding of another system',
    {
      resourceType: 'Condition',
      subject: { reference: 'Patient/1' },
      clinicalStatus: { coding: [{ system: 'http://a.example', code: 'active' }] },
    },
    ['code at Condition.clinicalStatus'],
  ],
  [
    'a required coding as text only',
    {
      resourceType: 'Condition',
      subject: { reference: 'Patient/1' },
      clinicalStatus: { text: 'active' },
    },
    ['code at Condition.clinicalStatus'],
  ],
]

for (const [why, resource, faults] of REFUSED) {
  test(`${why} is refused`, () => {
    expect(rulesOf(resource)).toEqual(faults)
  })
}

test('every fault is reported, each at its place, not only the first', () => {
  const found = rulesOf(patient({ active: 'yes', gender: 'f', birthDate: '2022-13', age: 3 }))

  expect(found).toEqual([
    'primitive.boolean at Patient.active',
    'code at Patient.gender',
    'primitive.date at Patient.birthDate',
    'unknown-element at Patient.age',
  ])
})

test('of more than 100 faults the first 100 are listed, and that there are more', () => {
  const faults = validateResource(patient({ name: Array.from({ length: 500 }, () => ({})) }))

  expect(faults).toHaveLength(101)
  expect(faults.at(-1)?.rule).toBe('too-many')
})

test('of exactly 100 faults nothing is said to be missing', () => {
  const faults = validateResource(patient({ name: Array.from({ length: 100 }, () => ({})) }))

  expect(faults).toHaveLength(100)
  expect(faults.at(-1)?.rule).toBe('empty')
})

test('nesting beyond the limit is refused, not followed', () => {
  let nested: object = { url: 'http://a.example', valueString: 'x' }
  for (let level = 0; level < 200; level += 1)
    nested = { url: 'http://a.example', extension: [nested] }

  expect(validateResource(patient({ extension: [nested] })).map(({ rule }) => rule)).toEqual([
    'depth',
  ])
})

test('an entry of a Bundle is named by the place it is given', () => {
  const faults = validateResource(patient({ name: [{ given: ['A', 1] }] }), {
    at: 'Bundle.entry[3].resource',
  })

  expect(faults.map(({ expression }) => expression)).toEqual([
    'Bundle.entry[3].resource.name[0].given[1]',
  ])
})

test('no fault repeats what the client wrote', () => {
  const secret = 'Muster'
  const faults = validateResource(
    patient({
      active: secret,
      gender: secret,
      birthDate: secret,
      name: secret,
      managingOrganization: { reference: `${secret}/1`, type: secret },
      [`${secret} ${secret}`]: 1,
      text: { status: secret, div: `<div>${secret}</div>` },
    }),
  )

  expect(faults.length).toBeGreaterThan(6)
  expect(JSON.stringify(faults)).not.toContain(secret)
})

test('issue codes are those of the value set issue-type', () => {
  const codes = (resource: unknown) => validateResource(resource).map(({ code }) => code)

  expect(codes(patient({ gender: 'x' }))).toEqual(['code-invalid'])
  expect(codes(patient({ link: [{ type: 'refer' }] }))).toEqual(['required'])
  expect(codes(patient({ a: 1 }))).toEqual(['structure'])
  expect(codes(patient({ active: 1 }))).toEqual(['value'])
  expect(codes(patient({ telecom: [{ value: '1' }] }))).toEqual(['invariant'])
  expect(codes(patient({ modifierExtension: [extension] }))).toEqual(['extension'])
})

test('a valid resource of one of our types is narrowed to its type', () => {
  const resource = asResource(patient({ gender: 'other' }))

  expect(resource.resourceType === 'Patient' && resource.gender).toBe('other')
  expect(isResource(patient({}))).toBe(true)
  expect(isResource(patient({ gender: 'x' }))).toBe(false)
  expect(isTyped({ resourceType: 'Slot' })).toBe(false)
})

test('a faulty resource is thrown as invalid-resource with all its faults', () => {
  expect(() => asResource(patient({ gender: 'x', active: 1 }))).toThrow(
    expect.objectContaining({
      kind: 'invalid-resource',
      faults: [
        expect.objectContaining({ rule: 'code' }),
        expect.objectContaining({ rule: 'primitive.boolean' }),
      ],
    }),
  )
})

test('a valid resource of a type we do not work with is thrown as not-supported', () => {
  const slot = {
    resourceType: 'Slot',
    schedule: { reference: 'Schedule/1' },
    status: 'free',
    start: '2024-01-01T00:00:00Z',
    end: '2024-01-01T01:00:00Z',
  }

  expect(validateResource(slot)).toEqual([])
  expect(() => asResource(slot)).toThrow(expect.objectContaining({ kind: 'not-supported' }))
})

test('a wrong code hides no invariant of the element around it', () => {
  const activity = [{ detail: { status: 'x' }, reference: { reference: 'Task/1' } }]
  const carePlan = { resourceType: 'CarePlan', status: 'active', intent: 'plan', activity }

  expect(rulesOf({ ...carePlan, subject: { reference: 'Patient/1' } })).toEqual([
    'code at CarePlan.activity[0].detail.status',
    'cpl-3 at CarePlan.activity[0]',
  ])
  expect(
    rulesOf(observation({ status: 'x', valueString: 'a', dataAbsentReason: { text: 'b' } })),
  ).toEqual(['code at Observation.status', 'obs-6 at Observation'])
})

test('a contained resource that contains another is looked at otherwise too', () => {
  const inner = { resourceType: 'Patient', id: 'q' }
  const outer = { resourceType: 'Practitioner', id: 'z', gender: 'foo', bogus: 1 }
  const of = (contained: unknown) =>
    rulesOf(
      observation({ performer: [{ reference: '#z' }], contained: [{ ...outer, contained }] }),
    ).toSorted()

  expect(of([inner])).toEqual([
    'code at Observation.contained[0].gender',
    'dom-2 at Observation.contained[0].contained',
    'unknown-element at Observation.contained[0].bogus',
  ])
  expect(of([])).toContain('empty at Observation.contained[0].contained')
})
