import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { coded, type Json } from '../helpers/referral.ts'
import { observationOf, patientOf } from '../helpers/searches.ts'
import {
  type Answer,
  entries,
  expressions,
  resource,
  resources,
  START,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// The header X-Provenance, R4 6.3.4.2.1.

let service: TestService
let staff: Who
let partner: Who
let other: Who

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner, other } = await service.clinic())
  return service.close
})

const PARTICIPANT = 'http://terminology.hl7.org/CodeSystem/provenance-participant-type'
const ACTIVITY = 'http://terminology.hl7.org/CodeSystem/v3-DataOperation'

const origin = (more: Json = {}): Json => ({
  resourceType: 'Provenance',
  activity: { coding: [{ system: ACTIVITY, code: 'CREATE' }] },
  agent: [
    {
      type: { coding: [{ system: PARTICIPANT, code: 'author' }] },
      who: { display: 'An invented record system, 1.50' },
    },
  ],
  ...more,
})

const send = (
  method: 'POST' | 'PUT' | 'PATCH' | 'DELETE',
  url: string,
  body: Json | readonly Json[] | undefined,
  provenance: unknown,
  { who = staff, headers = {} }: { who?: Who; headers?: Record<string, string> } = {},
): Promise<Answer> =>
  service.send(who, {
    method,
    url: `/fhir/${url}`,
    headers: {
      'x-provenance': typeof provenance === 'string' ? provenance : JSON.stringify(provenance),
      ...headers,
    },
    ...(body === undefined ? {} : { body }),
  })

/** The Provenances of a resource that somebody sees. */
async function originsOf(place: string, who = staff): Promise<Json[]> {
  const answer = await service.send(who, { url: `/fhir/Provenance?target=${place}` })
  expect(answer.status, answer.text).toBe(200)
  return resources(answer)
}

async function created(): Promise<string> {
  const answer = await send('POST', 'Observation', observationOf(), origin())
  expect(answer.status, answer.text).toBe(201)
  return `Observation/${String(resource(answer)['id'])}`
}

describe('the header X-Provenance', () => {
  test('of a create is stored with the version that was created as its target', async () => {
    const place = await created()

    const [kept, ...more] = await originsOf(place)

    expect(more).toEqual([])
    expect(kept).toMatchObject({
      ...origin(),
      target: [{ reference: `${place}/_history/1` }],
      meta: { versionId: '1' },
    })
    expect(String(kept?.['recorded'])).toMatch(/^\d{4}-\d\d-\d\dT.*Z$/)
    expect(Date.parse(String(kept?.['recorded']))).toBeGreaterThanOrEqual(Date.parse(START))
  })

  test('of an update names the new version, beside what told of the one before', async () => {
    const place = await created()

    const answer = await send(
      'PUT',
      place,
      { ...observationOf({ status: 'amended' }), id: place.split('/')[1] ?? '' },
      origin({ activity: { coding: [{ system: ACTIVITY, code: 'UPDATE' }] } }),
    )

    expect(answer.status, answer.text).toBe(200)
    const targets = (await originsOf(place)).flatMap(({ target }) => target)
    expect(targets).toHaveLength(2)
    expect(targets).toEqual(
      expect.arrayContaining([
        { reference: `${place}/_history/1` },
        { reference: `${place}/_history/2` },
      ]),
    )
  })

  test('of a patch names the new version', async () => {
    const place = await created()

    const answer = await send(
      'PATCH',
      place,
      [{ op: 'replace', path: '/status', value: 'amended' }],
      origin(),
      { headers: { 'content-type': 'application/json-patch+json' } },
    )

    expect(answer.status, answer.text).toBe(200)
    expect(JSON.stringify(await originsOf(place))).toContain(`${place}/_history/2`)
  })

  test('of a conditional create that finds something stores nothing', async () => {
    const identifier = [{ system: 'http://a.example/observations', value: 'twice' }]
    const twice = () =>
      send('POST', 'Observation', observationOf({ identifier }), origin(), {
        headers: { 'if-none-exist': 'identifier=http://a.example/observations|twice' },
      })
    const first = await twice()
    expect(first.status).toBe(201)

    const second = await twice()

    expect(second.status).toBe(200)
    expect(await originsOf(`Observation/${String(resource(first)['id'])}`)).toHaveLength(1)
  })

  test('may be in ASCII or in UTF-8', async () => {
    const text = JSON.stringify(origin({ agent: [{ who: { display: 'Żółta Krzywa' } }] }))
    for (const sent of [
      text.replaceAll(
        /[^\x20-\x7e]/g,
        (one) => `\\u${one.charCodeAt(0).toString(16).padStart(4, '0')}`,
      ),
      Buffer.from(text, 'utf8').toString('latin1'),
    ]) {
      const answer = await send('POST', 'Observation', observationOf(), sent)
      expect(answer.status, answer.text).toBe(201)
      const [kept] = await originsOf(`Observation/${String(resource(answer)['id'])}`)
      expect(kept).toMatchObject({ agent: [{ who: { display: 'Żółta Krzywa' } }] })
    }
  })

  test('does not decide id, version or when it was recorded', async () => {
    const answer = await send(
      'POST',
      'Observation',
      observationOf(),
      origin({ id: 'mine', meta: { versionId: '7' }, recorded: '1999-01-01T00:00:00Z' }),
    )

    expect(answer.status, answer.text).toBe(201)
    const [kept] = await originsOf(`Observation/${String(resource(answer)['id'])}`)
    expect(kept?.['id']).not.toBe('mine')
    expect(kept).toMatchObject({ meta: { versionId: '1' } })
    expect(kept?.['recorded']).not.toBe('1999-01-01T00:00:00Z')
  })

  test('is of the record of the child, and in the compartment of its sender', async () => {
    const child = await service.send(partner, {
      method: 'POST',
      url: '/fhir/Patient',
      body: patientOf(),
    })
    const reference = `Patient/${String(resource(child)['id'])}`
    const answer = await send(
      'POST',
      'Observation',
      observationOf({ subject: { reference } }),
      origin(),
      { who: partner },
    )
    expect(answer.status, answer.text).toBe(201)
    const place = `Observation/${String(resource(answer)['id'])}`

    expect(await originsOf(place, partner)).toHaveLength(1)
    expect(await originsOf(place, staff)).toHaveLength(1)
    expect(await originsOf(place, other)).toEqual([])
    const everything = await service.send(partner, { url: `/fhir/${reference}/$everything` })
    expect(entries(everything).map((entry) => entry.resource?.['resourceType'])).toContain(
      'Provenance',
    )
  })

  test('is told to the audit in the record of the write', async () => {
    const place = await created()
    const [kept] = await originsOf(place)

    const answer = await service.send(staff, {
      url: `/fhir/AuditEvent?entity=Provenance/${String(kept?.['id'])}&_count=50`,
    })

    expect(answer.status).toBe(200)
    const Event = z.object({
      entity: z.array(
        z.object({ what: z.object({ reference: z.string().optional() }).optional() }),
      ),
    })
    const named = resources(answer).map((one) =>
      Event.parse(one).entity.flatMap(({ what }) => what?.reference ?? []),
    )
    expect(named.some((all) => all.some((one) => one.startsWith(place)))).toBe(true)
  })
})

describe('nothing is written when the header', () => {
  const before = async () =>
    z
      .object({ total: z.number() })
      .parse(
        (await service.send(staff, { url: '/fhir/Observation?_summary=count&_total=accurate' }))
          .json,
      ).total

  const FAULTY: readonly (readonly [string, unknown, string])[] = [
    ['is no JSON', '{', 'http."X-Provenance"'],
    ['is empty', '', 'http."X-Provenance"'],
    [
      'names a member twice',
      '{"resourceType":"Provenance","resourceType":"Provenance"}',
      'http."X-Provenance"',
    ],
    ['is no object', [origin()], 'http."X-Provenance"'],
    ['is another resource', { resourceType: 'Patient' }, 'http."X-Provenance"'],
    ['names a target', origin({ target: [{ reference: 'Patient/1' }] }), 'Provenance.target'],
    ['has no agent', { resourceType: 'Provenance' }, 'Provenance.agent'],
    ['has an agent without who', origin({ agent: [{}] }), 'Provenance.agent[0]'],
    ['has an element that R4 does not know', origin({ agents: [] }), 'Provenance.agents'],
    [
      'has a wrong element',
      origin({ entity: [{ role: 'of-old', what: { display: 'x' } }] }),
      'Provenance.entity[0].role',
    ],
  ]

  test.each(FAULTY)('%s: 400 with its place', async (_, sent, expression) => {
    const count = await before()

    const answer = await send('POST', 'Observation', observationOf(), sent)

    expect(answer.status, answer.text).toBe(400)
    expect(expressions(answer).some((one) => one.startsWith(expression))).toBe(true)
    expect(await before()).toBe(count)
  })

  test('refers to what is not there: 422 with its place', async () => {
    const count = await before()

    const answer = await send(
      'POST',
      'Observation',
      observationOf(),
      origin({ agent: [{ who: { reference: 'Practitioner/nobody' } }] }),
    )

    expect(answer.status, answer.text).toBe(422)
    expect(expressions(answer)).toEqual(['Provenance.agent[0].who.reference'])
    expect(await before()).toBe(count)
  })

  test('would be read as a computation of the service: 422, as of a Provenance sent by itself', async () => {
    const count = await before()

    const answer = await send(
      'POST',
      'Observation',
      observationOf(),
      origin({ activity: coded('exchange', 'triage-result') }),
    )

    expect(answer.status, answer.text).toBe(422)
    expect(expressions(answer)).toEqual(['Provenance.activity'])
    expect(await before()).toBe(count)
  })

  test('claims to be of the profile of another type: 422 (R4 resource.html, Meta.profile)', async () => {
    const profile = ['http://hl7.org/fhir/StructureDefinition/Patient']

    const answer = await send('POST', 'Observation', observationOf(), origin({ meta: { profile } }))

    expect(answer.status, answer.text).toBe(422)
    expect(expressions(answer)).toEqual(['Provenance.meta.profile[0]'])
  })

  test('comes with a token that may not create a Provenance: 403', async () => {
    const who = await service.who({
      clinicId: staff.clinicId,
      scope: 'system/Observation.cruds',
    })

    const refused = await send('POST', 'Observation', observationOf(), origin(), { who })
    const taken = await service.send(who, {
      method: 'POST',
      url: '/fhir/Observation',
      body: observationOf(),
    })

    expect(refused.status).toBe(403)
    expect(taken.status).toBe(201)
  })

  test.each([
    ['POST', '', { resourceType: 'Bundle', type: 'transaction', entry: [] }],
    ['DELETE', 'Observation/none', undefined],
  ] as const)('comes with %s /%s: 400', async (method, url, body) => {
    const answer = await send(method, url, body, origin())

    expect(answer.status, answer.text).toBe(400)
    expect(expressions(answer)).toEqual(['http."X-Provenance"'])
  })
})
