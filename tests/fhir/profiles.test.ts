import { expect, test } from 'vitest'
import { civilDate } from '../../src/domain/calendar.ts'
import { profileFaults } from '../../src/fhir/profiles.ts'
import { asResource } from '../../src/fhir/validate.ts'
import { coded, type Json, observed, quantity, referralParts } from '../helpers/referral.ts'

const TODAY = civilDate('2026-03-02')
const faults = (resource: Json) =>
  profileFaults(asResource(resource), 'X', TODAY).map(
    ({ expression, rule }) => `${expression} ${rule}`,
  )
const side = (name: string): Json => ({ bodySite: coded('side', `${name}-foot`) })

test('every part of a complete referral is taken', () => {
  for (const [name, part] of referralParts({ key: 'taken' }))
    expect(faults(part.resource), name).toEqual([])
})

const PATIENT: Json = {
  resourceType: 'Patient',
  identifier: [{ system: 'a', value: 'b' }],
  birthDate: '2024-02-01',
}
test.each<[string, Json, string[]]>([
  ['without an identifier', { identifier: undefined }, ['X.identifier patient-identifier']],
  [
    'with an identifier without a system',
    { identifier: [{ value: 'b' }] },
    ['X.identifier patient-identifier'],
  ],
  ['without a birth date', { birthDate: undefined }, ['X.birthDate patient-birth-date']],
  ['with a birth month', { birthDate: '2024-02' }, ['X.birthDate patient-birth-date']],
  ['born tomorrow', { birthDate: '2026-03-03' }, ['X.birthDate patient-birth-date']],
  ['born today', { birthDate: '2026-03-02' }, []],
])('a Patient %s: %j %j', (_title, change, expected) => {
  expect(faults(JSON.parse(JSON.stringify({ ...PATIENT, ...change })) as Json)).toEqual(expected)
})

const part = (name: string) => referralParts({ key: 'p' }).get(name)?.resource ?? {}
test.each<[string, string, Json, string[]]>([
  ['referral', 'that is a draft', { status: 'draft' }, []],
  ['referral', 'on hold', { status: 'on-hold' }, ['X.status referral-status']],
  ['referral', 'that is an option', { intent: 'option' }, ['X.intent referral-intent']],
  [
    'referral',
    'without a reference',
    { subject: { display: 'x' } },
    ['X.subject.reference referral-subject'],
  ],
  ['referral', 'of another kind', { code: { text: 'x' }, status: 'draft' }, []],
  ['task', 'without a focus', { focus: { display: 'x' } }, ['X.focus task-focus']],
  ['task', 'without a child', { for: { display: 'x' } }, ['X.for task-for']],
  ['task', 'that is completed', { status: 'completed' }, []],
  ['task', 'that is ready', { status: 'ready' }, ['X.status task-status']],
  ['task', 'of another kind', { code: { text: 'x' }, status: 'completed' }, []],
])('a %s %s', (name, _title, change, expected) => {
  expect(faults({ ...part(name), ...change })).toEqual(expected)
})

const ON = '2026-03-01'
test.each<[string, Json, string[]]>([
  ['of a code nobody reads', { ...observed('x', ON, {}), code: { text: 'x' } }, []],
  ['of a code of ours that is none', observed('nonsense', ON, {}), ['X.code observation-code']],
  [
    'that the service computes',
    observed('orthosis-suitability', ON, {}),
    ['X.code observation-computed'],
  ],
  [
    'without a child',
    { ...observed('motor-concern', ON, { valueBoolean: true }), subject: { display: 'x' } },
    ['X.subject observation-subject'],
  ],
  [
    'of a month',
    observed('motor-concern', '2026-03', { valueBoolean: true }),
    ['X.effectiveDateTime observation-date'],
  ],
  [
    'of tomorrow',
    observed('motor-concern', '2026-03-03', { valueBoolean: true }),
    ['X.effectiveDateTime observation-date'],
  ],
  [
    'with a time',
    observed('motor-concern', '2026-03-02T08:00:00+01:00', { valueBoolean: true }),
    [],
  ],
  [
    'of a foot without the side',
    observed('open-skin', ON, { valueBoolean: true }),
    ['X.bodySite observation-side'],
  ],
  [
    'of the other value type',
    observed('motor-concern', ON, { valueString: 'yes' }),
    ['X.valueBoolean observation-value.motor-concern'],
  ],
  [
    'without a value',
    observed('motor-concern', ON, {}),
    ['X.valueBoolean observation-value.motor-concern'],
  ],
  [
    'that says why there is no value',
    observed('motor-concern', ON, { dataAbsentReason: { text: 'asleep' } }),
    [],
  ],
  [
    'in another unit',
    observed('foot-length', ON, { ...side('left'), ...quantity(138, '[in_i]') }),
    ['X.valueQuantity.code observation-value.foot-length'],
  ],
  ['in centimetres', observed('foot-length', ON, { ...side('left'), ...quantity(13.8, 'cm') }), []],
  [
    'in mixed-up units',
    observed('foot-length', ON, { ...side('left'), ...quantity(13.8, 'mm') }),
    ['X.valueQuantity.value observation-value.foot-length'],
  ],
  [
    'in a unit without system',
    observed('foot-length', ON, { ...side('left'), valueQuantity: { value: 138, unit: 'mm' } }),
    ['X.valueQuantity.system observation-value.foot-length'],
  ],
  [
    'with a comparator',
    observed('foot-length', ON, {
      ...side('left'),
      valueQuantity: {
        value: 138,
        system: 'http://unitsofmeasure.org',
        code: 'mm',
        comparator: '<',
      },
    }),
    ['X.valueQuantity.comparator observation-value.foot-length'],
  ],
  [
    'graded beyond the scale',
    observed('modified-ashworth-calf', ON, {
      ...side('left'),
      valueCodeableConcept: coded('value', 'ashworth-5'),
    }),
    ['X.valueCodeableConcept observation-value.modified-ashworth-calf'],
  ],
  [
    'scored 10 of 9',
    observed('beighton-score', ON, { valueInteger: 10 }),
    ['X.valueInteger observation-value.beighton-score'],
  ],
  ['scored 9 of 9', observed('beighton-score', ON, { valueInteger: 9 }), []],
])('an observation %s', (_title, sent, expected) => {
  expect(faults(sent)).toEqual(expected)
})

test('an observation of both feet or of two facts is refused: each is sent by itself', () => {
  const both = {
    bodySite: {
      coding: ['left-foot', 'right-foot'].map((code) => ({
        system: 'https://footing.example/fhir/CodeSystem/side',
        code,
      })),
    },
  }
  const two = {
    code: {
      coding: ['motor-concern', 'gowers-sign'].map((code) => ({
        system: 'https://footing.example/fhir/CodeSystem/observation',
        code,
      })),
    },
  }

  expect(faults(observed('open-skin', ON, { ...both, valueBoolean: true }))).toEqual([
    'X.bodySite observation-side',
  ])
  expect(faults({ ...observed('x', ON, { valueBoolean: true }), ...two })).toEqual([
    'X.code observation-code',
  ])
})
