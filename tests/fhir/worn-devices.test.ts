import { expect, test } from 'vitest'
import { civilDate } from '../../src/domain/calendar.ts'
import { GENERIC_SIZE_CHART } from '../../src/domain/tables/generic-size-chart.ts'
import { asResource } from '../../src/fhir/validate.ts'
import { isInput } from '../../src/fhir/to-domain.ts'
import { wornDevices } from '../../src/fhir/worn-devices.ts'
import { coded, type Json, observed, quantity } from '../helpers/referral.ts'

const BASE = 'http://here.example/fhir'
const patient = { reference: 'Patient/p' }
const device = (id: string, more: Json = {}): [string, Json] => [
  `Device/${id}/_history/1`,
  {
    resourceType: 'Device',
    id,
    patient,
    modelNumber: 'G5',
    type: coded('exchange', 'supramalleolar-orthosis'),
    ...more,
  },
]
const use = (id: string, side: 'left' | 'right', more: Json = {}): [string, Json] => [
  `DeviceUseStatement/${id}-${side}/_history/1`,
  {
    resourceType: 'DeviceUseStatement',
    status: 'active',
    subject: patient,
    device: { reference: `Device/${id}` },
    bodySite: coded('side', `${side}-foot`),
    timingPeriod: { start: '2026-01-10' },
    ...more,
  },
]
const seen = (code: string, on: string, more: Json): [string, Json] => [
  `Observation/${code}-${on}/_history/1`,
  observed(code, on, more),
]
const worn = (sent: readonly [string, Json][], asOf = '2026-03-01') =>
  wornDevices(
    sent.map(([reference, one]) => ({ reference, resource: asResource(one) })),
    { asOf: civilDate(asOf), chart: GENERIC_SIZE_CHART, baseUrl: BASE },
  )

test('a child without a device in use wears none', () => {
  expect(worn([])).toBeUndefined()
  expect(worn([device('a')])).toBeUndefined()
})

test('each foot wears the device of its statement, in the size of the chart that it names', () => {
  const found = worn([
    device('a'),
    device('b', { modelNumber: 'G6' }),
    use('a', 'left'),
    use('b', 'right'),
  ])

  expect(found?.deliveredOn).toBe('2026-01-10')
  expect(found?.devices).toMatchObject([
    { side: 'left', size: { code: 'G5' } },
    { side: 'right', size: { code: 'G6' } },
  ])
})

test('the size of a device is unknown when the chart does not have it, or nobody wrote it down', () => {
  const [reference, { modelNumber, ...unnamed }] = device('a')

  expect(modelNumber).toBe('G5')
  expect(worn([device('a', { modelNumber: 'Z1' }), use('a', 'left')])?.devices).toMatchObject([
    { size: 'unknown' },
  ])
  expect(worn([[reference, unnamed], use('a', 'left')])?.devices).toMatchObject([
    { size: 'unknown' },
  ])
})

test.each<[string, [string, Json][]]>([
  ['is no orthosis of ours', [device('a', { type: { text: 'wheelchair' } }), use('a', 'left')]],
  ['was entered in error', [device('a', { status: 'entered-in-error' }), use('a', 'left')]],
  ['is not on record', [use('a', 'left')]],
  ['is only intended', [device('a'), use('a', 'left', { status: 'intended' })]],
  [
    'is delivered after the day',
    [device('a'), use('a', 'left', { timingPeriod: { start: '2026-03-02' } })],
  ],
  [
    'was given back before the day',
    [device('a'), use('a', 'left', { timingPeriod: { start: '2026-01-10', end: '2026-02-28' } })],
  ],
])('a device that %s is not worn', (_, sent) => {
  expect(worn(sent)).toBeUndefined()
})

test('the last day of use still counts, and so does the day of the delivery', () => {
  const period = { timingPeriod: { start: '2026-03-01', end: '2026-03-01' } }

  expect(worn([device('a'), use('a', 'left', period)])?.deliveredOn).toBe('2026-03-01')
})

test('of two devices of one foot the one that was delivered last counts, in any order', () => {
  const [reference, { timingPeriod, ...undated }] = use('a', 'left')
  const old: [string, Json][] = [
    device('a'),
    [reference, { ...undated, timingDateTime: '2025-06-01' }],
  ]
  const sent = [...old, device('b', { modelNumber: 'G6' }), use('b', 'left')]

  expect(timingPeriod).toBeDefined()
  for (const order of [sent, sent.toReversed()]) {
    expect(worn(order)?.devices).toMatchObject([{ size: { code: 'G6' } }])
    expect(worn(order)?.deliveredOn).toBe('2026-01-10')
  }
})

test('signs are read foot by foot, and what nobody looked for is unknown', () => {
  const left = { bodySite: coded('side', 'left-foot') }
  const found = worn([
    device('a'),
    use('a', 'left'),
    use('a', 'right'),
    seen('worn-blister', '2026-02-20', { ...left, valueBoolean: true }),
  ])

  expect(found?.devices[0]?.signs.blister).toMatchObject({ value: true, on: '2026-02-20' })
  expect(found?.devices[1]?.signs.blister).toBe('unknown')
  expect(found?.devices[0]?.signs.pain).toBe('unknown')
})

test('hours of wear become minutes; the latest word counts', () => {
  const found = worn([
    device('a'),
    use('a', 'left'),
    seen('wear-minutes-a-day', '2026-02-10', quantity(90, 'min')),
    seen('wear-minutes-a-day', '2026-02-20', quantity(5.5, 'h')),
  ])

  expect(found?.wearMinutes).toMatchObject({ value: 330 })
})

test('what is seen at a visit is no input of the triage', () => {
  const blister = asResource(seen('worn-blister', '2026-02-20', { valueBoolean: true })[1])
  const skin = asResource(seen('open-skin', '2026-02-20', { valueBoolean: true })[1])

  expect(isInput(blister)).toBe(false)
  expect(isInput(skin)).toBe(true)
})
