import { expect, test } from 'vitest'
import { civilDate } from '../../src/domain/calendar.ts'
import { toChild } from '../../src/fhir/to-domain.ts'
import { asResource } from '../../src/fhir/validate.ts'
import { coded, type Json, observed, quantity, referralParts, SIDES } from '../helpers/referral.ts'

const RECEIVED = civilDate('2026-03-02')
const patient = (more: Json = {}) => {
  const resource = asResource({
    resourceType: 'Patient',
    identifier: [{ system: 'a', value: 'b' }],
    birthDate: '2024-02-01',
    ...more,
  })
  if (resource.resourceType !== 'Patient') throw new Error('not a Patient')
  return { reference: 'Patient/p/_history/1', resource }
}
const childOf = (sent: readonly Json[], asOf = '2026-03-02', more: Json = {}) =>
  toChild(
    sent.map((one, index) => ({
      reference: `${String(one['resourceType'])}/${index}/_history/1`,
      resource: asResource(one),
    })),
    patient(more),
    { receivedOn: RECEIVED, asOf: civilDate(asOf) },
  )
const tone = (on: string, value: string, more: Json = {}) =>
  observed('muscle-tone', on, { valueCodeableConcept: coded('value', `tone-${value}`), ...more })

test('of a child of whom nothing is recorded everything is unknown', () => {
  const child = childOf([])

  expect(child.birthDate).toEqual({
    value: '2024-02-01',
    on: '2024-02-01',
    evidence: 'Patient/p/_history/1',
  })
  expect([child.tone, child.gestationDays, child.beighton, child.medicalReview]).toEqual(
    Array(4).fill('unknown'),
  )
  expect(new Set(Object.values(child.signs))).toEqual(new Set(['unknown']))
  expect(new Set(Object.values(child.redFlags))).toEqual(new Set(['unknown']))
  expect(child.milestoneChecks).toEqual([])
  expect(child.diagnoses).toEqual({})
  for (const side of SIDES) {
    const { measurements, ...foot } = child.feet[side]
    expect(new Set(Object.values(foot))).toEqual(new Set(['unknown']))
    expect(Object.values(measurements).flat()).toEqual([])
  }
})

test('a complete referral leaves no part of it unread', () => {
  const sent = [...referralParts({ key: 'read' }).values()].map(({ resource }) => resource)
  const child = childOf(sent)

  expect(child.milestoneChecks).toHaveLength(6)
  expect(child.milestoneChecks[0]?.value).toEqual({
    milestone: 'sitting-without-support',
    attained: true,
    attainedOn: '2024-09-20',
    reportedBy: 'professional',
  })
  expect(child).toMatchObject({
    gestationDays: { value: 266 },
    tone: { value: 'low' },
    beighton: { value: 6 },
    signs: { 'habitual-w-sitting': { value: true }, 'heel-contact-seen': { value: false } },
    redFlags: { 'loss-of-skills': { value: false }, 'gowers-sign': 'unknown' },
    diagnoses: { hypotonia: { value: true } },
    contradictions: [],
  })
  for (const side of SIDES) {
    expect(child.feet[side]).toMatchObject({
      fpi: { value: { 1: 2, 2: 2, 3: 2, 4: 1, 5: 2, 6: 1 } },
      ankleDorsiflexion: { value: 15 },
      openSkin: { value: false },
      insensate: { value: false },
      ashworthCalf: { value: '0' },
      archSeenUnloaded: { value: true },
    })
    expect(child.feet[side].measurements['foot-length'].map(({ value }) => value)).toEqual([
      { mm: 138, loading: 'loaded' },
    ])
  }
})

test('the latest counts; what lies after the day or was not seen does not', () => {
  const sent = [
    tone('2026-01-01', 'normal'),
    tone('2026-02-01', 'low'),
    tone('2026-02-02', 'raised', { status: 'entered-in-error' }),
    tone('2026-02-03', 'raised', { status: 'cancelled' }),
    { ...observed('muscle-tone', '2026-02-04', { dataAbsentReason: { text: 'asleep' } }) },
    tone('2026-03-02', 'raised'),
  ]

  expect(childOf(sent, '2026-03-01').tone).toMatchObject({ value: 'low', on: '2026-02-01' })
  expect(childOf(sent, '2026-03-02').tone).toMatchObject({ value: 'raised' })
  expect(childOf(sent, '2026-01-15').tone).toMatchObject({ value: 'normal' })
  expect(childOf(sent, '2025-12-31').tone).toBe('unknown')
})

test('two answers of one day contradict each other: unknown, and reported', () => {
  const child = childOf([tone('2026-02-01', 'low'), tone('2026-02-01', 'raised')])

  expect(child.tone).toBe('unknown')
  expect(child.contradictions).toEqual([
    {
      fact: 'tone',
      on: '2026-02-01',
      evidence: ['Observation/0/_history/1', 'Observation/1/_history/1'],
    },
  ])
})

test('a fact of one foot is not one of the other', () => {
  const child = childOf([
    observed('open-skin', '2026-02-01', {
      valueBoolean: true,
      bodySite: coded('side', 'left-foot'),
    }),
  ])

  expect(child.feet.left.openSkin).toMatchObject({ value: true })
  expect(child.feet.right.openSkin).toBe('unknown')
  expect(child.contradictions).toEqual([])
})

test('weeks become days, centimetres millimetres; the day is the sender’s own', () => {
  const loinc = (code: string) => ({ coding: [{ system: 'http://loinc.org', code }] })
  const child = childOf([
    { ...observed('', '2024-02-01', quantity(28, 'wk')), code: loinc('76516-4') },
    { ...observed('', '2024-02-01', quantity(200, 'd')), code: loinc('11884-4') },
    observed('foot-length', '2026-02-28T23:30:00-08:00', {
      ...quantity(13.8, 'cm'),
      bodySite: coded('side', 'right-foot'),
    }),
  ])

  expect(child.gestationDays).toMatchObject({ value: 196 })
  expect(child.feet.right.measurements['foot-length']).toMatchObject([
    { value: { mm: 138, loading: 'unknown' }, on: '2026-02-28' },
  ])
})

test('gestations at birth that contradict each other are not settled by an estimate', () => {
  const gestation = (code: string, weeks: number) => ({
    ...observed('', '2024-02-01', quantity(weeks, 'wk')),
    code: { coding: [{ system: 'http://loinc.org', code }] },
  })
  const estimate = gestation('11884-4', 29)

  const child = childOf([gestation('76516-4', 28), gestation('76516-4', 31), estimate])

  expect(child.gestationDays).toBe('unknown')
  expect(child.contradictions).toMatchObject([{ fact: 'gestationDays', on: '2024-02-01' }])
  expect(childOf([estimate]).gestationDays).toMatchObject({ value: 203 })
})

test.each<[string, string]>([
  ['female', 'female'],
  ['male', 'male'],
  ['other', 'unknown'],
  ['unknown', 'unknown'],
])('gender %s is sex %s', (gender, sex) => {
  expect(childOf([], '2026-03-02', { gender }).sex).toBe(sex)
})

const condition = (code: string, more: Json = {}): Json => ({
  resourceType: 'Condition',
  subject: { reference: 'Patient/p' },
  recordedDate: '2026-02-01',
  code: { coding: [{ system: 'http://hl7.org/fhir/sid/icd-10-cm', code }] },
  ...more,
})
const status = (element: string, system: string, code: string): Json => ({
  [element]: {
    coding: [{ system: `http://terminology.hl7.org/CodeSystem/condition-${system}`, code }],
  },
})

// Codes and descriptors: ICD-10-CM, U.S. National Center for Health Statistics.
test.each<[string, Json, string[]]>([
  ['P94.2 congenital hypotonia', condition('P94.2'), ['hypotonia']],
  ['P94.9 another disorder of tone', condition('P94.9'), []],
  ['Q90.9 Down syndrome', condition('Q90.9'), ['down-syndrome']],
  [
    'G80.1 spastic diplegic palsy',
    condition('G80.1'),
    ['cerebral-palsy', 'spastic-cerebral-palsy'],
  ],
  ['G80.3 athetoid palsy', condition('G80.3'), ['cerebral-palsy']],
  ['a code without its dot', condition('G801'), ['cerebral-palsy', 'spastic-cerebral-palsy']],
  [
    'a code of another system',
    condition('', { code: { coding: [{ system: 'x', code: 'P94.2' }] } }),
    [],
  ],
  [
    'one that was refuted',
    condition('Q90', status('verificationStatus', 'ver-status', 'refuted')),
    [],
  ],
  [
    'one that is provisional',
    condition('P94.2', status('verificationStatus', 'ver-status', 'provisional')),
    [],
  ],
  ['one that is over', condition('P94.2', status('clinicalStatus', 'clinical', 'resolved')), []],
  [
    'one that cannot pass',
    condition('G80.1', status('clinicalStatus', 'clinical', 'inactive')),
    ['cerebral-palsy', 'spastic-cerebral-palsy'],
  ],
  ['one of a later day', condition('P94.2', { recordedDate: '2026-03-03' }), []],
])('of %s the diagnoses are %j', (_title, sent, expected) => {
  expect(Object.keys(childOf([sent]).diagnoses).toSorted()).toEqual(expected)
})
