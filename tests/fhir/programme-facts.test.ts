import { describe, expect, test } from 'vitest'
import { civilDate } from '../../src/domain/calendar.ts'
import { programmeFacts } from '../../src/fhir/programme-facts.ts'
import { isResource } from '../../src/fhir/validate.ts'
import type { RecordEntry } from '../../src/fhir/record-facts.ts'
import { type Json, observed } from '../helpers/referral.ts'

const DAY = civilDate('2026-03-01')

function entry(resource: Json, reference: string): RecordEntry {
  const whole: unknown = { ...resource, subject: { reference: 'Patient/p' } }
  if (!isResource(whole)) throw new Error('not valid R4')
  return { reference, resource: whole }
}
const observation = (code: string, on: string, value: Json, id = code) =>
  entry(observed(code, on, value), `Observation/${id}/_history/1`)

function read(addresses: readonly Json[], ...record: readonly RecordEntry[]) {
  const resource: unknown = {
    resourceType: 'Patient',
    ...(addresses.length > 0 && { address: addresses }),
  }
  if (!isResource(resource) || resource.resourceType !== 'Patient') throw new Error('no Patient')
  return programmeFacts(record, { reference: 'Patient/p/_history/2', resource }, DAY)
}
const stateOf = (...addresses: readonly Json[]) => {
  const { state } = read(addresses)
  return state === 'unknown' ? state : state.value
}

describe('the state', () => {
  test('is the one of the address, with the version of the Patient as evidence', () => {
    expect(read([{ state: ' ia ' }]).state).toMatchObject({
      value: 'IA',
      evidence: 'Patient/p/_history/2',
    })
  })

  test.each([
    ['no address', [], 'unknown'],
    ['an address without a state', [{ city: 'Erfunden' }], 'unknown'],
    ['a name in place of a code', [{ state: 'Iowa' }], 'unknown'],
    ['two of the same state', [{ state: 'IA' }, { use: 'home', state: 'IA' }], 'IA'],
    ['two of different states', [{ state: 'IA' }, { state: 'NE' }], 'unknown'],
    ['one at work besides', [{ state: 'IA' }, { use: 'work', state: 'NE' }], 'IA'],
    ['an old one besides', [{ use: 'old', state: 'NE' }, { state: 'IA' }], 'IA'],
    ['one for letters besides', [{ type: 'postal', state: 'NE' }, { state: 'IA' }], 'IA'],
    ['one that ended yesterday', [{ state: 'NE', period: { end: '2026-02-28' } }], 'unknown'],
    ['one that ends today', [{ state: 'NE', period: { end: '2026-03-01' } }], 'NE'],
    ['one that ended last month', [{ state: 'NE', period: { end: '2026-02' } }], 'unknown'],
    ['one that ends this month', [{ state: 'NE', period: { end: '2026-03' } }], 'NE'],
    ['one that begins today', [{ state: 'NE', period: { start: '2026-03-01' } }], 'NE'],
    ['one that begins tomorrow', [{ state: 'NE', period: { start: '2026-03-02' } }], 'unknown'],
    ['in the USA', [{ state: 'IA', country: 'US' }], 'IA'],
    ['in another country', [{ state: 'DE', country: 'DEU' }], 'unknown'],
  ] as const)('%s', (_, addresses, expected) => {
    expect(stateOf(...addresses)).toBe(expected)
  })
})

describe('the dates', () => {
  test('each is read from its own observation', () => {
    const found = read(
      [],
      ...['identified', 'referred', 'received', 'determined', 'plan', 'inspection-asked'].map(
        (name, index) =>
          observation(`early-intervention-${name}-on`, '2026-02-20', {
            valueDateTime: `2026-02-0${index + 1}`,
          }),
      ),
    )

    expect(found).toMatchObject({
      identifiedOn: { value: '2026-02-01' },
      referredOn: { value: '2026-02-02' },
      receivedOn: { value: '2026-02-03' },
      determination: { value: { on: '2026-02-04' } },
      planOn: { value: '2026-02-05' },
      inspectionAskedOn: { value: '2026-02-06' },
    })
  })

  test('without them all is unknown, and the state too', () => {
    expect(new Set(Object.values(read([])))).toEqual(new Set(['unknown']))
  })

  test('a determination that is not made yet is said with false', () => {
    const code = 'early-intervention-determined-on'

    expect(
      read([], observation(code, '2026-02-20', { valueBoolean: false })).determination,
    ).toMatchObject({
      value: 'not-yet',
    })
  })

  test('what was recorded after the day is not seen', () => {
    const late = observation('early-intervention-plan-on', '2026-03-02', {
      valueDateTime: '2026-02-01',
    })

    expect(read([], late).planOn).toBe('unknown')
  })

  test('the first concern is the earliest that was one', () => {
    const concern = (on: string, value: boolean) =>
      observation('motor-concern', on, { valueBoolean: value }, `c${on}`)
    const record = [
      concern('2026-02-20', true),
      concern('2026-01-10', false),
      concern('2026-02-01', true),
    ]

    expect(read([], ...record).firstConcernOn).toMatchObject({
      value: '2026-02-01',
      evidence: 'Observation/c2026-02-01/_history/1',
    })
    expect(read([], concern('2026-01-10', false)).firstConcernOn).toBe('unknown')
  })
})
