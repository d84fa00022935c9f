import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { ask, assertionOf, type ClientKeys, formOf, newKeys } from '../helpers/assertions.ts'
import { coded, observed } from '../helpers/referral.ts'
import {
  type Answer,
  bundle,
  entries,
  expressions,
  issues,
  resource,
  resources,
  START,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// SMART App Launch 2.2, scopes with a search part: `system/Observation.rs?category=system|code`.

const CATEGORY = 'http://terminology.hl7.org/CodeSystem/observation-category'
const EXAM = `category=${CATEGORY}|exam`
const SCOPE = `system/Observation.cruds?${EXAM} system/Patient.crs`
const nowS = Math.floor(Date.parse(START) / 1000)

let service: TestService
let staff: Who
let admin: Who
let narrowed: Who
let keys: ClientKeys
let patient: string
let inside: string
let outside: string

const fact = (code: string, category: string, more = {}) => ({
  ...observed('muscle-tone', '2026-03-01', { valueCodeableConcept: coded('value', 'tone-low') }),
  category: [{ coding: [{ system: CATEGORY, code: category }] }],
  note: [{ text: `Said of ${code}.` }],
  subject: { reference: `Patient/${patient}` },
  ...more,
})
const create = async (who: Who, body: object): Promise<string> => {
  const answer = await service.send(who, {
    method: 'POST',
    url: `/fhir/${String(Object.entries(body).find(([name]) => name === 'resourceType')?.[1])}`,
    body,
  })
  if (answer.status !== 201) throw new Error(`It was not taken: ${answer.text}`)
  return String(resource(answer)['id'])
}
const get = (url: string, who = narrowed) => service.send(who, { url: `/fhir/${url}` })
const ids = (answer: Answer) => resources(answer).map(({ id }) => String(id))

beforeAll(async () => {
  service = await testService()
  ;({ staff } = await service.clinic())
  admin = await service.who({
    clinicId: staff.clinicId,
    clientId: 'administration',
    scope: 'system/Patient.rs admin',
  })
  keys = await newKeys()
  narrowed = await service.who({ clinicId: staff.clinicId, clientId: 'narrowed', scope: SCOPE })
  patient = await create(staff, {
    resourceType: 'Patient',
    identifier: [{ system: 'urn:example:invented', value: 'narrowed' }],
    name: [{ family: 'Invented' }],
    birthDate: '2024-03-01',
  })
  inside = await create(staff, fact('the inside', 'exam'))
  outside = await create(staff, fact('the outside', 'social-history'))
  return service.close
})

describe('registering and asking', () => {
  const Client = z.object({ clientId: z.string(), scope: z.string() })
  const register = (scope: string) =>
    service.send(admin, {
      method: 'POST',
      url: '/admin/clients',
      body: { name: 'An invented system', scope, jwks: { keys: [keys.publicJwk] } },
    })
  const tokenFor = async (clientId: string, scope: string) =>
    ask(service, formOf(await assertionOf({ clientId }, keys, { nowS }), { scope }))

  test('a system registered for a part of a type is granted that part, however it asks', async () => {
    const made = await register(SCOPE)
    expect(made.status).toBe(201)
    const { clientId } = Client.parse(made.json)

    for (const asked of ['system/*.cruds', SCOPE, 'system/Observation.cruds system/Patient.crs']) {
      const answer = await tokenFor(clientId, asked)
      const { scope, access_token: token } = z
        .object({ scope: z.string(), access_token: z.string() })
        .parse(answer.json)
      expect(scope.split(' ').toSorted()).toEqual(SCOPE.split(' ').toSorted())
      const who = { ...narrowed, clientId, token }
      expect(ids(await get('Observation', who))).toEqual([inside])
    }
  })

  test('a system registered for a whole type may ask for a part of it', async () => {
    const { clientId } = Client.parse((await register('system/Observation.rs')).json)
    const answer = await tokenFor(clientId, `system/Observation.rs?${EXAM}`)

    expect(answer.json).toMatchObject({ scope: `system/Observation.rs?${EXAM}` })
  })

  test('two parts of a type are both granted', async () => {
    const two = `system/Observation.rs?${EXAM} system/Observation.rs?category=${CATEGORY}|social-history`
    const { clientId } = Client.parse((await register(two)).json)
    const { access_token: token } = z
      .object({ access_token: z.string() })
      .parse((await tokenFor(clientId, two)).json)
    const found = await get('Observation', { ...narrowed, clientId, token })

    expect(ids(found).toSorted()).toEqual([inside, outside].toSorted())
  })

  test.each([
    ['of every type', 'system/*.rs?_tag=x|y'],
    ['that is granted whole besides', `system/Observation.rs?${EXAM} system/*.r`],
    ['with a parameter that there is not', 'system/Observation.rs?colour=red'],
    ['with a modifier', 'system/Observation.rs?category:not=exam'],
    ['with a chain', 'system/Observation.rs?patient.name=x'],
    ['with a date', 'system/Observation.rs?date=ge2026'],
    ['without a value', 'system/Observation.rs?category='],
    ['of a bare id', 'system/Observation.rs?patient=1'],
    ['of what everybody may read', 'system/ValueSet.rs?status=active'],
    ['of a code with a system that is not its own', 'system/Observation.rs?status=urn:x|final'],
    ['of rules that are read as a whole', 'system/Library.rs?status=active'],
    ['of a place with a condition', 'system/Patient.rs?phone=1'],
  ])('a search part %s is not registered', async (_title, scope) => {
    const answer = await register(scope)

    expect([answer.status, expressions(answer)]).toEqual([400, ['scope']])
  })
})

describe('reading', () => {
  test('what is inside is read in every way', async () => {
    expect((await get(`Observation/${inside}`)).status).toBe(200)
    expect((await get(`Observation/${inside}/_history/1`)).status).toBe(200)
    expect(ids(await get(`Observation/${inside}/_history`))).toEqual([inside])
    expect(ids(await get(`Patient/${patient}/Observation`))).toEqual([inside])
    expect(ids(await get(`Patient?_id=${patient}&_revinclude=Observation:patient`))).toEqual([
      patient,
      inside,
    ])
  })

  test('what is outside is as absent, by its id and its versions', async () => {
    const absent = '00000000-0000-4000-8000-000000000000'
    for (const rest of ['', '/_history/1', '/_history']) {
      const there = await get(`Observation/${outside}${rest}`)
      const nowhere = await get(`Observation/${absent}${rest}`)
      expect(there.status).toBe(404)
      expect(there.text).toBe(nowhere.text)
    }
    const tagged = await service.send(narrowed, {
      url: `/fhir/Observation/${outside}`,
      headers: { 'if-none-match': 'W/"1"' },
    })
    expect(tagged.status).toBe(404)
  })

  test.each([
    ['a search', 'Observation?code:missing=false'],
    ['a search of two types', '?_type=Observation,Patient'],
    ['a search that names what is outside', `Observation?category=social-history`],
    ['a compartment', 'Patient/PATIENT/*'],
    ['a reverse include', 'Patient?_id=PATIENT&_revinclude=Observation:patient'],
    ['the history of the type', 'Observation/_history'],
    ['the history of the system', '_history'],
    ['the whole record', 'Patient/PATIENT/$everything'],
  ])('%s shows nothing of what is outside', async (_title, url) => {
    const answer = await get(url.replace('PATIENT', patient))

    expect(answer.status).toBe(200)
    expect(answer.text).not.toContain(outside)
    expect(answer.text).not.toContain('Said of the outside')
  })

  test('totals count what is inside', async () => {
    const counted = await get('Observation?_summary=count')
    const paged = await get('Observation?_count=1&_total=accurate')

    expect([bundle(counted).total, bundle(paged).total]).toEqual([1, 1])
  })

  test('a search through the type does not find by what is outside', async () => {
    const by = (id: string) => get(`Patient?_has:Observation:patient:_id=${id}`)

    expect(ids(await by(inside))).toEqual([patient])
    expect(ids(await by(outside))).toEqual([])
  })

  test('an export has what is inside', async () => {
    const started = await get('$export?_type=Observation')
    const id = String(started.headers['content-location']).split('/').at(-1)
    const file = await get(`$export-file/${id}/Observation.ndjson`)

    expect(file.text).toContain(inside)
    expect(file.text).not.toContain(outside)
  })

  test('entries of a batch and reads of a transaction are held to it', async () => {
    for (const type of ['batch', 'transaction']) {
      const answer = await service.send(narrowed, {
        method: 'POST',
        url: '/fhir',
        body: {
          resourceType: 'Bundle',
          type,
          entry: [
            { resource: fact('the new', 'exam'), request: { method: 'POST', url: 'Observation' } },
            { request: { method: 'GET', url: `Observation?patient=${patient}` } },
          ],
        },
      })
      expect(entries(answer)).toHaveLength(2)
      expect(answer.text).toContain(inside)
      expect(answer.text).not.toContain('Said of the outside')
    }
  })

  test('a version that was outside stays hidden when the resource has come inside', async () => {
    const id = await create(staff, fact('the first', 'social-history'))
    const url = `/fhir/Observation/${id}`
    await service.send(staff, { method: 'PUT', url, body: { ...fact('the second', 'exam'), id } })

    const history = await get(`Observation/${id}/_history`)

    expect((await get(`Observation/${id}`)).status).toBe(200)
    expect((await get(`Observation/${id}/_history/1`)).status).toBe(404)
    expect(bundle(history).total).toBe(1)
    expect(history.text).not.toContain('Said of the first')
  })

  test('a version that was inside is hidden when the resource has gone outside', async () => {
    const id = await create(staff, fact('the first', 'exam'))
    const url = `/fhir/Observation/${id}`
    await service.send(staff, {
      method: 'PUT',
      url,
      body: { ...fact('the second', 'social-history'), id },
    })

    expect((await get(`Observation/${id}`)).status).toBe(404)
    expect((await get(`Observation/${id}/_history/1`)).status).toBe(404)
  })
})

describe('writing', () => {
  const write = (method: 'POST' | 'PUT' | 'DELETE', url: string, body?: object, headers = {}) =>
    service.send(narrowed, {
      method,
      url: `/fhir/${url}`,
      headers,
      ...(body === undefined ? {} : { body }),
    })

  test('what is inside is created, changed and deleted', async () => {
    const made = await write('POST', 'Observation', fact('the new', 'exam'))
    const id = String(resource(made)['id'])
    const changed = await write('PUT', `Observation/${id}`, {
      ...fact('the new', 'exam', { status: 'amended' }),
      id,
    })
    const gone = await write('DELETE', `Observation/${id}`)

    expect([made.status, changed.status, gone.status]).toEqual([201, 200, 204])
  })

  test('what would be outside is not created: 403, and nothing is kept', async () => {
    const before = bundle(await get('Observation?_summary=count', staff)).total
    const answer = await write('POST', 'Observation', fact('the new', 'social-history'))

    expect([answer.status, issues(answer)[0]?.code]).toEqual([403, 'forbidden'])
    expect(bundle(await get('Observation?_summary=count', staff)).total).toBe(before)
  })

  test('what is inside is not moved outside: 403', async () => {
    const body = { ...fact('the new', 'social-history'), id: inside }

    expect((await write('PUT', `Observation/${inside}`, body)).status).toBe(403)
    expect((await get(`Observation/${inside}`)).status).toBe(200)
  })

  test('what is outside is not changed or deleted, as if it were absent', async () => {
    const body = { ...fact('the new', 'exam'), id: outside }
    const put = await write('PUT', `Observation/${outside}`, body)
    const patch = await service.send(narrowed, {
      method: 'PATCH',
      url: `/fhir/Observation/${outside}`,
      headers: { 'content-type': 'application/json-patch+json' },
      body: [{ op: 'replace', path: '/status', value: 'amended' }],
    })
    const gone = await write('DELETE', `Observation/${outside}`)

    expect([put.status, patch.status, gone.status]).toEqual([405, 404, 204])
    expect(resource(await get(`Observation/${outside}`, staff))['status']).toBe('final')
  })

  test('a condition does not find what is outside, and what it would make is held to the scope', async () => {
    const headers = { 'if-none-exist': `_id=${outside}` }
    const made = await write('POST', 'Observation', fact('the new', 'exam'), headers)
    const refused = await write('POST', 'Observation', fact('it', 'social-history'), headers)

    expect([made.status, refused.status]).toEqual([201, 403])
  })

  test('an entry outside refuses its transaction whole', async () => {
    const answer = await service.send(narrowed, {
      method: 'POST',
      url: '/fhir',
      body: {
        resourceType: 'Bundle',
        type: 'transaction',
        entry: ['exam', 'social-history'].map((category) => ({
          resource: fact('a pair', category),
          request: { method: 'POST', url: 'Observation' },
        })),
      },
    })

    expect([answer.status, expressions(answer)]).toEqual([403, ['Bundle.entry[1].resource']])
  })

  test('an answer that was given to a token of the whole type is not repeated to a narrowed one', async () => {
    const body = {
      resourceType: 'Bundle',
      type: 'transaction',
      entry: [{ request: { method: 'GET', url: `Observation/${outside}` } }],
    }
    const headers = { 'idempotency-key': 'one-key' }
    const whole = await service.who({
      clinicId: staff.clinicId,
      clientId: narrowed.clientId,
      scope: 'system/*.rs',
    })
    const first = await service.send(whole, { method: 'POST', url: '/fhir', body, headers })
    const again = await service.send(narrowed, { method: 'POST', url: '/fhir', body, headers })

    expect([first.status, again.status]).toEqual([200, 422])
    expect(again.text).not.toContain('Said of')
  })
})

test.each([
  ['POST', 'ServiceRequest/x/$triage'],
  ['GET', 'ServiceRequest/x/$fitting-plan'],
  ['GET', 'ServiceRequest/x/$follow-up'],
  ['GET', 'Library/x/$what-if'],
  ['POST', 'Patient/$match'],
  ['POST', 'Observation/$validate'],
] as const)('%s %s is refused to a token with a search part', async (method, url) => {
  const body = { resourceType: 'Parameters' }
  const answer = await service.send(narrowed, {
    method,
    url: `/fhir/${url}`,
    ...(method === 'POST' ? { body } : {}),
  })

  expect([answer.status, issues(answer)[0]?.details.coding?.[0]?.code]).toEqual([
    403,
    'narrowed-scope',
  ])
})

test('a token with a search part subscribes to nothing, whatever else it may', async () => {
  const who = await service.who({
    clinicId: staff.clinicId,
    clientId: 'subscribing',
    scope: `${SCOPE} system/Subscription.cruds`,
  })
  const answer = await service.send(who, {
    method: 'POST',
    url: '/fhir/Subscription',
    body: {
      resourceType: 'Subscription',
      status: 'requested',
      reason: 'To be told.',
      criteria: 'Observation?status=final',
      channel: { type: 'rest-hook', endpoint: 'https://invented.example/hook' },
    },
  })

  expect(answer.status).not.toBe(201)
  expect([403, 422]).toContain(answer.status)
})
