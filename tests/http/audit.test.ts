import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import {
  kept,
  resource,
  type Sent,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'
import { bundleOf, type Parts, referralParts } from '../helpers/referral.ts'

// IHE BALP 1.1.5 (FHIR 4.0.1): one AuditEvent per call, identifiers only, the query in base64.

let service: TestService
let staff: Who
let partner: Who
const parts: Parts = referralParts({ key: 'audit' })
let places: string[]

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner } = await service.clinic())
  await service.sql(
    `insert into clinics (clinic_id, name, created_at) values ($1, 'An invented clinic', now())`,
    [staff.clinicId],
  )
  places = kept(await service.refer(partner, parts))
  return service.close
})

const place = (name: string) => places[[...parts.keys()].indexOf(name)] ?? ''

const Reference = z.object({ reference: z.string().optional() })
const Event = z.object({
  id: z.string(),
  meta: z.object({ profile: z.array(z.string()).optional() }).optional(),
  type: z.object({ code: z.string() }),
  subtype: z.array(z.object({ code: z.string() })),
  action: z.string(),
  outcome: z.string(),
  agent: z.array(
    z.object({
      type: z.object({ coding: z.array(z.object({ code: z.string() })) }),
      altId: z.string().optional(),
      requestor: z.boolean(),
      policy: z.array(z.string()).optional(),
    }),
  ),
  entity: z.array(
    z.object({
      what: Reference.extend({ identifier: z.object({ value: z.string() }).optional() }).optional(),
      query: z.string().optional(),
      lifecycle: z.object({ code: z.string() }).optional(),
    }),
  ),
})
type Event = z.infer<typeof Event>
const Found = z.object({ entry: z.array(z.object({ resource: Event })).optional() })

/** In which role of the call an agent is; the partner behind a client is neither. */
const roleOf = ({ type }: Event['agent'][number]) => type.coding[0]?.code

async function events(query: string, who: Who = staff): Promise<Event[]> {
  const answer = await service.send(who, { url: `/fhir/AuditEvent?${query}` })
  expect(answer.status, answer.text).toBe(200)
  return (Found.parse(answer.json).entry ?? []).map((entry) => entry.resource)
}

let count = 0
/** Sends a request under a name of its own and finds the record of it. */
async function recordOf(who: Who | undefined, sent: Sent): Promise<Event[]> {
  count += 1
  const name = `call-${count}`
  await service.send(who, { ...sent, headers: { ...sent.headers, 'x-request-id': name } })
  const all = await events(`_count=1000`)
  return all.filter((event) => event.entity.some(({ what }) => what?.identifier?.value === name))
}

const references = (event: Event | undefined): string[] =>
  (event?.entity ?? []).flatMap(({ what }) => what?.reference ?? [])

test('a call follows its pattern of BALP where it is about one resource or one query', async () => {
  const url = `/fhir/${places.find((one) => one.startsWith('Observation/')) ?? ''}`
  const patient = places.find((one) => one.startsWith('Patient/')) ?? ''
  const made = await service.send(staff, {
    method: 'POST',
    url: '/fhir/Organization',
    body: { resourceType: 'Organization', name: 'An invented practice' },
  })
  const kept = `/fhir/Organization/${String(resource(made)['id'])}`
  const profileOf = async (who: Who, sent: Sent) => {
    const [event] = await recordOf(who, sent)
    return [
      event?.meta?.profile?.[0]?.replace(/.*BasicAudit\./, ''),
      event?.agent.slice(0, 2).map(roleOf),
    ]
  }

  expect(await profileOf(partner, { url })).toEqual(['PatientRead', ['110152', '110153']])
  const search = { url: `/fhir/Observation?subject=${patient}` }
  expect(await profileOf(staff, search)).toEqual(['PatientQuery', ['110153', '110152']])
  const removal: Sent = { method: 'DELETE', url: kept }
  expect(await profileOf(staff, removal)).toEqual(['Delete', ['110150', 'custodian']])
  expect((await profileOf(staff, { url: '/fhir/Organization?name=x' }))[0]).toBe('Query')
  const identifier = [{ system: 'http://a.example/children', value: 'another' }]
  const body = { resourceType: 'Patient', identifier, birthDate: '2024-02-01' }
  await service.send(staff, { method: 'POST', url: '/fhir/Patient', body })
  // For several children BALP has several events.
  expect((await profileOf(staff, { url: '/fhir/Patient' }))[0]).toBeUndefined()
})

describe('every call makes one record', () => {
  test('a read names the version that was read and the child', async () => {
    const id = place('gestation') || places.find((one) => one.startsWith('Observation/')) || ''
    const found = await recordOf(partner, { url: `/fhir/${id}` })

    expect(found).toHaveLength(1)
    expect(found[0]).toMatchObject({ action: 'R', outcome: '0', subtype: [{ code: 'read' }] })
    const patient = places.find((one) => one.startsWith('Patient/'))
    expect(references(found[0])).toEqual([`${id}/_history/1`, patient])
    expect(found[0]?.agent[0]).toMatchObject({ altId: partner.clientId, requestor: true })
  })

  test('a search keeps its query in base64, and the children that were found', async () => {
    const patient = places.find((one) => one.startsWith('Patient/')) ?? ''
    const query = `subject=${patient}&_count=2`
    const [found, ...more] = await recordOf(partner, { url: `/fhir/Observation?${query}` })

    expect(more).toEqual([])
    expect(found).toMatchObject({ action: 'E', outcome: '0', subtype: [{ code: 'search' }] })
    const kept64 = found?.entity.find((one) => one.query !== undefined)?.query ?? ''
    expect(Buffer.from(kept64, 'base64').toString()).toBe(`Observation?${query}`)
    expect(references(found)).toEqual([patient])
  })

  test('a search of staff about one child names it, whatever is found, in one record', async () => {
    const patient = place('patient')
    for (const url of [
      `/fhir/Observation?patient=${patient}`,
      `/fhir/Observation?patient=${patient}&code=http://a.example|nothing`,
      `/fhir/${patient}/Observation?code=http://a.example|nothing`,
    ]) {
      const [event, ...more] = await recordOf(staff, { url })
      expect(more, url).toEqual([])
      expect([event?.outcome, references(event)], url).toEqual(['0', [patient]])
    }
  })

  test('what a partner searches for and does not find names nobody', async () => {
    const [event, ...more] = await recordOf(partner, {
      url: `/fhir/Observation?patient=${place('patient')}&code=http://a.example|nothing`,
    })
    expect(more).toEqual([])
    expect(references(event)).toEqual([])
  })

  test('a search of staff that is refused is recorded as refused alone', async () => {
    const events = await recordOf(staff, {
      url: `/fhir/Observation?patient=${place('patient')}&code=a|b|c|d&_cursor=x`,
    })
    expect(events.map(({ outcome }) => outcome)).toEqual(['4'])
  })

  test.each(['batch', 'transaction'])('a %s keeps what was searched in it', async (type) => {
    const url = 'Observation?status=final'
    const form = { resourceType: 'Parameters', parameter: [{ name: '_id', valueString: 'none' }] }
    const entry = [
      { request: { method: 'GET', url } },
      { request: { method: 'POST', url: 'Patient/_search' }, resource: form },
      {
        request: { method: 'POST', url: 'Organization' },
        resource: { resourceType: 'Organization', name: 'An invented practice' },
      },
    ]
    const body = { resourceType: 'Bundle', type, entry }
    const found = await recordOf(staff, { method: 'POST', url: '/fhir', body })

    // The entry of a batch that writes has its record in its own transaction.
    expect(found).toHaveLength(type === 'batch' ? 2 : 1)
    const kept64 = found.flatMap((event) => event.entity.flatMap(({ query }) => query ?? []))
    expect(kept64.map((one) => Buffer.from(one, 'base64').toString())).toEqual([
      `${url}\nPatient?_id=none`,
    ])
  })

  test('a transaction names all that it wrote, in one record', async () => {
    const body = bundleOf(referralParts({ key: 'audit-second' }))
    const found = await recordOf(partner, { method: 'POST', url: '/fhir', body })

    expect(found).toHaveLength(1)
    expect(
      found[0]?.entity.filter(({ lifecycle }) => lifecycle?.code === '1').length,
    ).toBeGreaterThan(11)
  })

  test('what is refused is recorded: no such resource, no scope, no token', async () => {
    const reader = await service.who({ ...staff, clientId: 'reader', scope: 'system/Patient.r' })
    const missing = await recordOf(partner, { url: '/fhir/Patient/never-was' })
    const forbidden = await recordOf(reader, { url: '/fhir/Observation/x' })
    const nobody = await recordOf(
      { ...staff, token: `${staff.token}x` },
      { url: '/fhir/Patient/x' },
    )

    expect([...missing, ...forbidden, ...nobody].map(({ outcome }) => outcome)).toEqual([
      '4',
      '4',
      '4',
    ])
  })

  test('an update is recorded with the version that it made', async () => {
    const id = places.find((one) => one.startsWith('Patient/')) ?? ''
    const patient = resource(await service.send(staff, { url: `/fhir/${id}` }))
    const found = await recordOf(staff, { method: 'PUT', url: `/fhir/${id}`, body: patient })

    expect(found).toHaveLength(1)
    expect(found[0]).toMatchObject({ action: 'U', outcome: '0', subtype: [{ code: 'update' }] })
    expect(references(found[0])).toContain(`${id}/_history/2`)
  })

  test('reading the log is in the log', async () => {
    const found = await recordOf(staff, { url: '/fhir/AuditEvent?action=R' })

    expect(found).toHaveLength(1)
  })
})

test('a partner sees no record', async () => {
  expect(await events('_count=10', partner)).toEqual([])
})

test('an operation, a history, an export and everything of a child are recorded', async () => {
  const referral = places.find((one) => one.startsWith('ServiceRequest/')) ?? ''
  const patient = places.find((one) => one.startsWith('Patient/')) ?? ''
  const calls: [Sent, string][] = [
    [{ method: 'POST', url: `/fhir/${referral}/$triage` }, 'triage'],
    [{ url: `/fhir/${patient}/_history` }, 'history-instance'],
    [{ url: `/fhir/${patient}/$everything` }, 'everything'],
    [{ url: '/fhir/$export', headers: { prefer: 'respond-async' } }, 'export'],
    [{ url: `/fhir/${patient}/$validate` }, 'validate'],
  ]
  for (const [sent, name] of calls) {
    const found = await recordOf(staff, sent)
    expect(found, name).toHaveLength(1)
    expect(
      found[0]?.subtype.map(({ code }) => code),
      name,
    ).toContain(name)
    if (name !== 'export') expect(references(found[0]), name).toContain(patient)
  }
})

test('what cannot be recorded is not answered, and not done', async () => {
  const id = places.find((one) => one.startsWith('Patient/')) ?? ''
  const written = () => service.sql(`select 1 from resource_versions where type <> 'AuditEvent'`)
  const before = await written()
  await service.sql('revoke insert on audit_log from app_service')
  try {
    const read = await service.send(staff, { url: `/fhir/${id}` })
    const body = { resourceType: 'Organization', name: 'An invented practice' }
    const made = await service.send(staff, { method: 'POST', url: '/fhir/Organization', body })

    const found = await service.send(staff, { url: `/fhir/Observation?patient=${id}` })

    expect([read.status, made.status, found.status]).toEqual([503, 503, 503])
    expect(found.text).not.toContain('Observation/')
    expect(read.text).toContain('OperationOutcome')
    expect(read.text).not.toContain('birthDate')
    expect(read.headers['etag']).toBeUndefined()
    expect(await written()).toHaveLength(before.length)
  } finally {
    await service.sql('grant insert on audit_log to app_service')
  }
  expect((await service.send(staff, { url: `/fhir/${id}` })).status).toBe(200)
})
