import { readFileSync } from 'node:fs'
import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { z } from 'zod'

import { choiceName, isPrimitive, parseElements } from '../../src/fhir/r4/definition.ts'
import { DATA_TYPES, PARTS, RESOURCES } from '../../src/fhir/r4/definitions.ts'
import { validateResource } from '../../src/fhir/validate.ts'
import { ownExamples } from '../helpers/own-examples.ts'
import { validCases } from '../helpers/r4-cases.ts'
import { observation, patient, rulesOf } from '../helpers/told-rules.ts'

// A value of the wrong form hides nothing that can be said without it, and raises no alarm of its own
// (R4 2.1.0: constraints hold of an instance beside its structure; http.html 3.1.0.1.5: the outcome tells why).

const appointment = {
  resourceType: 'Appointment',
  participant: [{ actor: { display: 'A' }, status: 'accepted' }],
}
const UCUM = 'http://unitsofmeasure.org'

const TOLD: [why: string, resource: object, faults: string[]][] = [
  [
    'a wrong date in the period of a contact that names nobody',
    patient({ contact: [{ period: { start: '2024-13' } }] }),
    ['primitive.dateTime at Patient.contact[0].period.start', 'pat-1 at Patient.contact[0]'],
  ],
  [
    'a value of the wrong JSON type that has no system',
    patient({ telecom: [{ value: 12 }] }),
    ['primitive.string at Patient.telecom[0].value', 'cpt-2 at Patient.telecom[0]'],
  ],
  [
    'an unknown element where another is missing',
    patient({ contact: [{ gender: 'other', nickname: 'A' }] }),
    ['unknown-element at Patient.contact[0].nickname', 'pat-1 at Patient.contact[0]'],
  ],
  [
    'a wrong value beside a reason for its absence',
    observation({ valueInteger: '3', dataAbsentReason: { text: 'asleep' } }),
    ['primitive.integer at Observation.value', 'obs-6 at Observation'],
  ],
  [
    'a wrong twin of a date that is after the other',
    patient({
      name: [{ text: 'A', period: { start: '2025', _start: { id: 1 }, end: '2024' } }],
    }),
    ['primitive.string at Patient.name[0].period.start.id', 'per-1 at Patient.name[0].period'],
  ],
  [
    'a use that is none before one that may not be',
    { resourceType: 'Organization', name: 'A', address: [{ use: 'x' }, { use: 'home' }] },
    ['code at Organization.address[0].use', 'org-2 at Organization'],
  ],
  [
    'a linkId that is missing beside two that are the same',
    {
      resourceType: 'Questionnaire',
      status: 'draft',
      item: [{ type: 'string' }, ...['a', 'a'].map((linkId) => ({ linkId, type: 'string' }))],
    },
    ['required at Questionnaire.item[0].linkId', 'que-2 at Questionnaire'],
  ],
  [
    'a consent without a scope and without a policy',
    { resourceType: 'Consent', status: 'active', category: [{ text: 'A' }] },
    ['required at Consent.scope', 'ppc-1 at Consent'],
  ],
  [
    'an output without a type in a task that was changed before it was written',
    {
      resourceType: 'Task',
      status: 'requested',
      intent: 'order',
      authoredOn: '2024-02-01',
      lastModified: '2024-01-02',
      output: [{ valueString: 'A' }],
    },
    ['required at Task.output[0].type', 'inv-1 at Task'],
  ],
  [
    'a progress without a text in an activity with a reference and a detail',
    {
      resourceType: 'CarePlan',
      status: 'active',
      intent: 'plan',
      subject: { display: 'a child' },
      activity: [
        {
          progress: [{ time: '2024-01-01' }],
          reference: { reference: 'Task/1' },
          detail: { status: 'scheduled' },
        },
      ],
    },
    ['required at CarePlan.activity[0].progress[0].text', 'cpl-3 at CarePlan.activity[0]'],
  ],
  [
    'a characteristic without a code in a group that is not actual and has members',
    {
      resourceType: 'Group',
      type: 'person',
      actual: false,
      member: [{ entity: { reference: 'Patient/1' } }],
      characteristic: [{ valueBoolean: true, exclude: false }],
    },
    ['required at Group.characteristic[0].code', 'grp-1 at Group'],
  ],
  [
    'an entry without a request beside a broken one',
    {
      resourceType: 'Bundle',
      type: 'transaction',
      entry: [
        { resource: patient({ active: 'x' }), request: { method: 'POST', url: 'Patient' } },
        { resource: patient({}) },
      ],
    },
    ['primitive.boolean at Bundle.entry[0].resource.active', 'bdl-3 at Bundle'],
  ],
  [
    'an age of the wrong system and below zero',
    {
      resourceType: 'Condition',
      subject: { display: 'a child' },
      clinicalStatus: {
        coding: [
          {
            system: 'http://terminology.hl7.org/CodeSystem/condition-clinical',
            code: 'resolved',
          },
        ],
      },
      abatementAge: { value: -1, code: 'a', system: 5 },
    },
    ['primitive.uri at Condition.abatement.system', 'age-1 at Condition.abatement'],
  ],
  [
    'a contained resource that nobody refers to, beside a wrong date',
    patient({ birthDate: 'x', contained: [patient({ id: 'a' })] }),
    ['primitive.date at Patient.birthDate', 'dom-3 at Patient.contained[0]'],
  ],
]

for (const [why, resource, faults] of TOLD) {
  test(`${why}: both are told`, () => {
    expect(rulesOf(resource).toSorted()).toEqual(faults.toSorted())
  })
}

const SILENT: [why: string, resource: object, faults: string[]][] = [
  [
    'a wrong end, whatever the start',
    patient({ name: [{ text: 'A', period: { start: '2024', end: '2023-40' } }] }),
    ['primitive.dateTime at Patient.name[0].period.end'],
  ],
  [
    'a name of the wrong form is a name all the same',
    patient({ contact: [{ name: 'A' }] }),
    ['type at Patient.contact[0].name'],
  ],
  [
    'what is null may be meant to be there',
    patient({ telecom: [{ value: '1', system: null }] }),
    ['null at Patient.telecom[0].system'],
  ],
  [
    'a Bundle that does not say what it is',
    { resourceType: 'Bundle', total: 1, entry: [{ request: { method: 'GET', url: 'Patient' } }] },
    ['required at Bundle.type'],
  ],
  [
    'a status that is none asks for no time',
    { ...appointment, status: 'x' },
    ['code at Appointment.status'],
  ],
  [
    'a unit in doubt compares with nothing',
    observation({
      valueRange: {
        low: { value: 2, code: 'mm', system: UCUM },
        high: { value: 1, code: ' mm', system: UCUM },
      },
    }),
    ['primitive.code at Observation.value.high.code'],
  ],
  [
    'a value under a name that is nearly one',
    observation({ valueQuantiy: { value: 1 }, dataAbsentReason: { text: 'asleep' } }),
    ['unknown-element at Observation.valueQuantiy'],
  ],
  [
    'a resource of an unknown type in a document',
    {
      resourceType: 'Bundle',
      type: 'document',
      identifier: { system: 'urn:s', value: '1' },
      timestamp: '2024-01-01T00:00:00Z',
      entry: [{ resource: { resourceType: 'Letter', meta: { versionId: { toString: 1 } } } }],
    },
    ['resource-type at Bundle.entry[0].resource.resourceType'],
  ],
  [
    'a reference that stands where no list is',
    observation({ contained: [patient({ id: 'p' })], performer: { reference: '#p' } }),
    ['cardinality at Observation.performer'],
  ],
  [
    'an object where a reference may be meant',
    observation({ contained: [patient({ id: 'p' })], subject: null }),
    ['null at Observation.subject'],
  ],
  [
    'a reference that is no text',
    observation({ contained: [patient({ id: 'p' })], subject: { reference: 5 } }),
    ['primitive.string at Observation.subject.reference'],
  ],
  [
    'a contained resource in no list',
    observation({ contained: patient({ id: 'p' }), subject: { reference: '#p' } }),
    ['cardinality at Observation.contained'],
  ],
  [
    'a contained resource whose id is no text',
    observation({ contained: [patient({ id: 5 })], subject: { reference: '#5' } }),
    ['primitive.id at Observation.contained[0].id'],
  ],
]

for (const [why, resource, faults] of SILENT) {
  test(`${why}: no invariant is called broken that may hold`, () => {
    expect(rulesOf(resource)).toEqual(faults)
  })
}

test('of a resource with too many faults no invariant is asked', () => {
  const contact = [{ gender: 'other' }]
  const name = Array.from({ length: 200 }, () => ({ text: 1 }))

  expect(validateResource(patient({ name, contact })).at(-1)?.rule).toBe('too-many')
})

const Node = z.record(z.string(), z.unknown())
const { invariants } = z
  .object({
    invariants: z.array(z.object({ key: z.string(), on: z.string(), breaks: z.array(Node) })),
  })
  .parse(JSON.parse(readFileSync(new URL('../cases/r4/invariants.json', import.meta.url), 'utf8')))

interface Place {
  readonly example: string
  readonly path: readonly (string | number)[]
  readonly expression: string
  readonly type: string
}

/** Every object of an example and every primitive value, with its type by the definitions. */
function placesIn(value: unknown, place: Place): Place[] {
  if (Array.isArray(value))
    return value.flatMap((item, index) => {
      const expression = `${place.expression}[${index}]`
      return placesIn(item, { ...place, path: [...place.path, index], expression })
    })
  const node = Node.safeParse(value)
  const lines = RESOURCES[place.type] ?? DATA_TYPES[place.type] ?? PARTS[place.type]
  if (!node.success || lines === undefined) return [place]
  const below = parseElements(lines).flatMap((element) =>
    element.types.flatMap(({ code }) => {
      const choice = element.name.endsWith('[x]')
      const name = choice ? choiceName(element.name, code) : element.name
      if (!(name in node.data) || `_${name}` in node.data || code === 'Resource') return []
      const step = choice ? element.name.slice(0, -3) : name
      const expression = `${place.expression}.${step}`
      return placesIn(node.data[name], {
        ...place,
        path: [...place.path, name],
        expression,
        type: code,
      })
    }),
  )
  return [place, ...below]
}

const examples = [
  ...ownExamples().map(({ type, text }) => ({ type, example: text })),
  ...validCases().map(({ resource }) => ({
    type: String(resource['resourceType']),
    example: JSON.stringify(resource),
  })),
]
const places = examples.flatMap(({ type, example }) =>
  placesIn(JSON.parse(example), { example, path: [], expression: type, type }),
)

/** The example with another value at the place. */
function changed({ example, path }: Place, change: (value: unknown) => unknown): unknown {
  const at = (value: unknown, [step, ...rest]: readonly (string | number)[]): unknown => {
    if (step === undefined) return change(value)
    const copy: unknown = structuredClone(value)
    Reflect.set(Object(copy), step, at(Reflect.get(Object(copy), step), rest))
    return copy
  }
  return at(JSON.parse(example), path)
}

const breakable = invariants.flatMap(({ key, on, breaks }) =>
  places
    .filter(({ type }) => type === on)
    .flatMap((place) => breaks.map((broken) => ({ key, place, broken }))),
)

test('an invariant that is broken and a primitive of the wrong form in one element are both told', () => {
  fc.assert(
    fc.property(fc.constantFrom(...breakable), ({ key, place, broken }) => {
      // The id of an element is asked by no invariant; that of a resource is one as well.
      const resource = changed(place, () => ({ ...broken, ...rooted(place), id: 5 }))

      const found = rulesOf(resource)

      expect(found).toContain(`${key} at ${place.expression}`)
      expect(found.filter((fault) => /^primitive\.(?:string|id) at /.test(fault))).toContain(
        `primitive.${place.path.length === 0 ? 'id' : 'string'} at ${place.expression}.id`,
      )
    }),
    { numRuns: 600 },
  )
})

const rooted = ({ path, type }: Place) => (path.length === 0 ? { resourceType: type } : {})

test('the examples have most of the elements that invariants hang on', () => {
  expect(new Set(breakable.map(({ key }) => key)).size).toBeGreaterThan(45)
})

const WRONG: readonly unknown[] = [12.5, 'x\u0001', true, null, '', [], {}, ['\u0001'], [null]]

test('one value of the wrong form, wherever it stands, makes no invariant broken', () => {
  const primitives = places.filter(
    ({ type, path }) => path.length > 0 && isPrimitive(type) && type !== 'xhtml',
  )

  fc.assert(
    fc.property(fc.constantFrom(...primitives), fc.constantFrom(...WRONG), (place, wrong) => {
      // What is wrong for most is right for some: a decimal is a number.
      const rightFor = typeof wrong === 'number' ? 'decimal' : typeof wrong
      const faults = validateResource(changed(place, () => wrong))

      fc.pre(place.type !== rightFor)
      expect(faults).not.toEqual([])
      expect(faults.filter(({ code }) => code === 'invariant')).toEqual([])
    }),
    { numRuns: 3_000 },
  )
})

test('one object of the wrong form, wherever it stands, makes no invariant broken', () => {
  const objects = places.filter(({ type, path }) => path.length > 0 && !isPrimitive(type))

  fc.assert(
    fc.property(fc.constantFrom(...objects), fc.constantFrom(...WRONG), (place, wrong) => {
      const faults = validateResource(changed(place, () => wrong))

      expect(faults.filter(({ code }) => code === 'invariant')).toEqual([])
    }),
    { numRuns: 1_500 },
  )
})
