import { beforeAll, describe, expect, test } from 'vitest'
import { isStableId } from '../../src/services/stable-id.ts'
import { coded, type Json, smallReferral } from '../helpers/referral.ts'
import {
  expressions,
  keptAs,
  resource,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// RiskAssessments and Provenances of others, beside those that the service computes itself.

let service: TestService
let staff: Who
let partner: Who
let other: Who
let patient: string
let referral: string

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner, other } = await service.clinic())
  const parts = smallReferral({ key: 'own-risk' })
  const sent = await service.refer(partner, parts)
  patient = keptAs(sent, parts, 'patient')
  referral = keptAs(sent, parts, 'referral')
  return service.close
})

const risk = (more: Json = {}): Json => ({
  resourceType: 'RiskAssessment',
  status: 'final',
  subject: { reference: patient },
  prediction: [{ outcome: { text: 'Falls' }, probabilityDecimal: 0.2 }],
  ...more,
})

const origin = (target: string, more: Json = {}): Json => ({
  resourceType: 'Provenance',
  target: [{ reference: target }],
  recorded: '2026-03-02T10:00:00Z',
  agent: [{ who: { display: 'An invented record system' } }],
  ...more,
})

const send = (
  method: 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE',
  url: string,
  { body, who = partner }: { readonly body?: unknown; readonly who?: Who } = {},
) =>
  service.send(who, {
    method,
    url: `/fhir/${url}`,
    ...(body === undefined ? {} : { body }),
    ...(method === 'PATCH' ? { headers: { 'content-type': 'application/json-patch+json' } } : {}),
  })

const found = async (query: string, who = partner): Promise<Json[]> =>
  resources(await send('GET', query, { who }))

describe.each([
  ['RiskAssessment', () => risk(), 'patient'],
  ['Provenance', () => origin(patient), 'patient'],
] as const)('a %s of a partner', (type, made, param) => {
  test('is created, found, updated, patched and deleted (R4 3.1.0.8, .4, .6, .7)', async () => {
    const created = await send('POST', type, { body: made() })
    expect(created.status, created.text).toBe(201)
    const id = String(resource(created)['id'])
    const at = `${type}/${id}`
    const ids = (await found(`${type}?${param}=${patient}`)).map((one) => one['id'])
    expect(ids).toContain(id)

    const updated = await send('PUT', at, { body: { ...made(), id, language: 'en' } })
    const patched = await send('PATCH', at, {
      body: [{ op: 'replace', path: '/language', value: 'de' }],
    })
    expect([updated.status, patched.status]).toEqual([200, 200])
    expect(resource(patched)['language']).toBe('de')

    expect((await send('DELETE', at)).status).toBe(204)
    expect((await send('GET', at)).status).toBe(410)
  })

  test('is seen by staff, and by no other partner', async () => {
    const id = String(resource(await send('POST', type, { body: made() }))['id'])
    const at = `${type}/${id}`

    expect((await send('GET', at, { who: staff })).status).toBe(200)
    expect((await send('GET', at, { who: other })).status).toBe(404)
    expect((await send('DELETE', at, { who: other })).status).toBe(204)
    expect((await send('GET', at)).status).toBe(200)
  })

  test('is refused where it names what its sender does not see', async () => {
    const answer = await send('POST', type, { body: made(), who: other })

    expect(answer.status).toBe(422)
  })
})

describe('a Provenance whose target was deleted since', () => {
  const left = async (): Promise<Json> => {
    const target = `RiskAssessment/${String(resource(await send('POST', 'RiskAssessment', { body: risk() }))['id'])}`
    const kept = resource(
      await send('POST', 'Provenance', { body: origin(`${target}/_history/1`) }),
    )
    expect((await send('DELETE', target)).status).toBe(204)
    return kept
  }

  test('is taken back unchanged, patched, and still in the record of the child (R4 3.1.0.4, .6, .7)', async () => {
    const kept = await left()
    const at = `Provenance/${String(kept['id'])}`

    const checked = await send('POST', `${at}/$validate`, { body: kept })
    const updated = await send('PUT', at, { body: kept })
    const patched = await send('PATCH', at, {
      body: [{ op: 'add', path: '/language', value: 'de' }],
    })
    const moved = await send('PUT', at, { body: { ...kept, target: [{ reference: 'Patient/1' }] } })

    expect(checked.text).not.toContain('"error"')
    expect([updated.status, patched.status, moved.status]).toEqual([200, 200, 422])
    expect(resource(patched)['target']).toEqual(kept['target'])
  })

  test('is not sent anew, nor under another name of what was deleted', async () => {
    const kept = await left()
    const [target] = JSON.stringify(kept['target']).match(/RiskAssessment\/[0-9a-f-]+/) ?? []
    const at = `Provenance/${String(kept['id'])}`

    const anew = await send('POST', 'Provenance', { body: kept })
    const renamed = await send('PUT', at, { body: { ...kept, target: [{ reference: target }] } })

    expect([anew.status, renamed.status]).toEqual([422, 422])
  })
})

describe('what the service computed itself', () => {
  test.each(['RiskAssessment', 'Provenance'])('a %s stays as it is, 405', async (type) => {
    const query =
      type === 'Provenance' ? `Provenance?target:Observation.patient=` : `${type}?patient=`
    const one = (await found(`${query}${patient}`)).find(({ id }) => isStableId(String(id)))
    const at = `${type}/${String(one?.['id'])}`

    expect(one?.['resourceType']).toBe(type)
    for (const who of [partner, staff]) {
      expect((await send('PUT', at, { who, body: { ...one, language: 'de' } })).status).toBe(405)
      const body = [{ op: 'replace', path: '/language', value: 'de' }]
      expect((await send('PATCH', at, { who, body })).status).toBe(405)
      expect((await send('DELETE', at, { who })).status).toBe(405)
    }
    expect(await found(`${type}?_id=${String(one?.['id'])}`)).toEqual([one])
  })

  test.each([
    [
      () =>
        risk({
          prediction: [
            { outcome: { text: 'Falls' } },
            { outcome: coded('exchange', 'delay-at-least-25-percent') },
          ],
        }),
      'RiskAssessment.prediction[1].outcome',
    ],
    [
      () => origin(patient, { activity: coded('exchange', 'triage-result') }),
      'Provenance.activity',
    ],
  ])('is not sent by others under its own codes (%#)', async (made, at) => {
    for (const who of [partner, staff]) {
      const type = String(made()['resourceType'])
      const answer = await send('POST', type, { who, body: made() })
      expect([answer.status, expressions(answer)]).toEqual([422, [at]])
    }
  })

  test('alone is told as a decision, whatever others say of its findings', async () => {
    const before = await send('GET', `${referral}/$decisions`, { who: staff })
    const [task] = await found(`Task?focus=${referral}&code=orthotic-referral`)
    const findings = new Set(JSON.stringify(task?.['output']).match(/Observation\/[0-9a-f-]+/g))
    expect(findings.size).toBeGreaterThan(2)
    const entity = Array.from({ length: 40 }, (_one, index) => ({
      role: 'source',
      what: { display: `An invented source ${index}` },
    }))
    const forged = await send('POST', 'Provenance', {
      body: {
        ...origin(patient, { entity }),
        target: [...findings].map((reference) => ({ reference })),
      },
    })
    expect(forged.status, forged.text).toBe(201)

    const after = await send('GET', `${referral}/$decisions`, { who: staff })

    expect(before.text).toContain('Provenance/')
    expect(after.text).toBe(before.text)
  })
})

test('what a Provenance is about is deleted all the same; the Provenance tells of a version (R4 6.3.4, target)', async () => {
  const made = await service.send(partner, {
    method: 'POST',
    url: '/fhir/RiskAssessment',
    body: risk(),
    headers: {
      'x-provenance': JSON.stringify({ ...origin(''), target: undefined, recorded: undefined }),
    },
  })
  expect(made.status, made.text).toBe(201)
  const at = `RiskAssessment/${String(resource(made)['id'])}`

  expect((await send('DELETE', at)).status).toBe(204)
  expect(await found(`Provenance?target=${at}`)).toMatchObject([
    { target: [{ reference: `${at}/_history/1` }] },
  ])
})
