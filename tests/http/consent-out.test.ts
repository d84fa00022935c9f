import { beforeAll, describe, expect, test } from 'vitest'
import {
  CLINIC_SYSTEM,
  consentedReferral,
  consentResource,
  recipient,
  withoutConsent,
} from '../helpers/consent-resources.ts'
import { exported } from '../helpers/bulk-export.ts'
import { bundleOf, type Json, observed } from '../helpers/referral.ts'
import {
  bundle,
  expressions,
  kept,
  keptAs,
  type RegisteredRegime,
  resource,
  resources,
  START,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// What a partner may no longer receive is to it as if it were not there, however it asks.

let service: TestService
let sent = 0

beforeAll(async () => {
  service = await testService()
  return service.close
})

type Change = Json & { readonly provision?: Json }

interface Child {
  readonly staff: Who
  readonly partner: Who
  /** `Type/id` of everything that was sent. */
  readonly places: readonly string[]
  readonly patient: string
  readonly consent: string
  readonly performer: string
  readonly referral: string
  readonly key: string
}

async function referred(regime: RegisteredRegime, change: Change | 'no consent' = {}) {
  const { staff, partner } = await service.clinic(regime)
  const key = `out${(sent += 1)}`
  const whole = consentedReferral(
    key,
    partner.clinicId,
    change === 'no consent' ? {} : { identifier: [{ system: 's', value: key }], ...change },
  )
  const parts = change === 'no consent' ? withoutConsent(whole) : whole
  const answer = await service.refer(partner, parts)
  const at = (name: string) => (parts.has(name) ? keptAs(answer, parts, name) : '')
  return {
    staff,
    partner,
    key,
    places: kept(answer),
    patient: at('patient'),
    consent: at('consent'),
    performer: at('mother'),
    referral: at('referral'),
  } satisfies Child
}

const get = (who: Who, url: string, headers: Record<string, string> = {}) =>
  service.send(who, { url: `/fhir/${url}`, headers })
const post = (who: Who, url: string, body: unknown) =>
  service.send(who, { method: 'POST', url: `/fhir/${url}`, body })

/** Staff record what the family said. */
async function recorded(child: Child, change: Change = {}): Promise<string> {
  const { patient, performer, staff } = child
  const body = consentResource({ patient, performer, clinicId: staff.clinicId }, change)
  const answer = await post(staff, 'Consent', body)
  expect(answer.status).toBe(201)
  return `Consent/${String(resource(answer)['id'])}`
}

async function withdraw({ staff, consent }: Child, change: Json = { status: 'inactive' }) {
  const standing = resource(await get(staff, consent))
  const body = { ...standing, ...change }
  const answer = await service.send(staff, { method: 'PUT', url: `/fhir/${consent}`, body })
  expect(answer.status).toBe(200)
}

const reads = async ({ partner, patient }: Child) => (await get(partner, patient)).status
const transactionOf = (resource: Json) => ({
  resourceType: 'Bundle',
  type: 'transaction',
  entry: [{ resource, request: { method: 'POST', url: 'Consent' } }],
})
const REFUSAL: Change = { dateTime: '2026-03-02', provision: { type: 'deny', actor: undefined } }

describe('once the consent is withdrawn', () => {
  test.each(['part-c', 'ferpa', 'unknown', 'hipaa'] as const)(
    'a partner under %s no longer finds the child by any way, and staff do',
    async (regime) => {
      const child = await referred(regime)
      const { partner, staff, patient, referral, places, key } = child
      const about = places.filter((place) => !/^(Practitioner|Organization)/.test(place))
      const [, id = ''] = patient.split('/')
      const etag = { 'if-none-match': 'W/"1"' }
      const shown = await get(partner, `Observation?patient=${patient}&_count=1`)
      const next = bundle(shown).link?.find(({ relation }) => relation === 'next')?.url

      await withdraw(child)

      for (const place of about)
        for (const url of [place, `${place}/_history/1`, `${place}/_history`]) {
          expect([url, (await get(partner, url)).status]).toEqual([url, 404])
          expect([url, (await get(staff, url)).status]).toEqual([url, 200])
        }
      expect((await get(partner, patient, etag)).status).toBe(404)
      expect((await get(staff, patient, etag)).status).toBe(304)
      for (const url of [
        `Patient/${id}/$everything`,
        `ServiceRequest/${referral.split('/')[1]}/$fitting-plan?asOf=2026-03-02`,
      ])
        expect([url, (await get(partner, url)).status]).toEqual([url, 404])
      const triage = await service.send(partner, {
        method: 'POST',
        url: `/fhir/${referral}/$triage`,
      })
      expect(triage.status).toBe(404)
      for (const url of [
        'Patient',
        `Patient/${id}/Observation`,
        `Patient?_id=${id}`,
        `Patient?identifier=https://practice.example/ids|${key}-patient`,
        `Observation?patient=${patient}`,
        'Observation?_total=accurate&_count=0',
        'Observation?patient.family:missing=false',
        'ServiceRequest?_include=ServiceRequest:subject',
        'Task?_include=Task:focus',
        'Patient?_revinclude=Observation:patient',
        'Patient?_has:Observation:patient:_lastUpdated=ge2000',
        'Practitioner?_has:ServiceRequest:requester:status=active',
        'Practitioner?_has:ServiceRequest:requester:subject:Patient.family:missing=false',
      ]) {
        const answer = await get(partner, url)
        expect([url, answer.status]).toEqual([url, 200])
        expect([url, bundle(answer).total ?? 0]).toEqual([url, 0])
        expect([url, resources(answer)]).toEqual([url, []])
      }
      const company = await get(partner, 'Practitioner?_revinclude=ServiceRequest:requester')
      expect(company.text).not.toContain(referral)
      for (const url of [
        '_history',
        'Patient/_history',
        'Observation/_history',
        'Consent/_history',
      ])
        expect([url, (await get(partner, url)).text.includes(id)]).toEqual([url, false])
      if (next !== undefined)
        expect(resources(await get(partner, next.replace(/^.*\/fhir\//, '')))).toEqual([])
    },
  )

  test('an export gives nothing of the child, also one that was asked for before', async () => {
    const child = await referred('part-c')
    const outputs = async (who: Who) => {
      service.clock.advance(2_000)
      const { output } = await exported(
        '/fhir/Patient/$export?_type=Patient,Observation',
        async (url, headers = {}) => {
          service.clock.advance(2_000)
          const answer = await service.send(who, {
            url: url.replace(/^https?:..[^/]*/, ''),
            headers,
          })
          const get = (name: string) => String(answer.headers[name])
          return { status: answer.status, headers: { get }, body: answer.json }
        },
      )
      return output.map(({ url }) => new URL(url).pathname)
    }
    const files = await outputs(child.partner)
    expect(files).toHaveLength(2)

    await withdraw(child)

    expect(await outputs(child.partner)).toEqual([])
    for (const url of files) expect((await service.send(child.partner, { url })).text).toBe('')
    expect(await outputs(child.staff)).toHaveLength(2)
    service.clock.set(START)
  })

  test('nothing is written to the child, nor found by a condition, and the log stays', async () => {
    const child = await referred('hipaa')
    const { partner, patient, staff, key } = child
    const [, id] = patient.split('/')
    const standing = resource(await get(partner, patient))
    const log = async () =>
      bundle(await get(staff, `AuditEvent?patient=${patient}&_count=0`)).total ?? 0
    const logged = await log()

    await withdraw(child)

    const tone = {
      ...observed('walking-alone', '2026-03-01', { valueBoolean: true }),
      subject: { reference: patient },
    }
    const dangling = await post(partner, 'Observation', tone)
    expect([dangling.status, expressions(dangling)]).toEqual([
      422,
      ['Observation.subject.reference'],
    ])
    const put = await service.send(partner, {
      method: 'PUT',
      url: `/fhir/${patient}`,
      body: standing,
    })
    expect(put.status).toBe(405)
    const removed = await service.send(partner, { method: 'DELETE', url: `/fhir/${patient}` })
    expect(removed.status).toBe(204)
    expect((await get(staff, patient)).status).toBe(200)
    const again = await service.send(partner, {
      method: 'POST',
      url: '/fhir/Patient',
      body: { ...standing, id: undefined, meta: undefined },
      headers: {
        'if-none-exist': `identifier=https://practice.example/ids|${key}-patient`,
      },
    })
    expect([again.status, resource(again)['id'] === id]).toEqual([201, false])
    expect(await log()).toBeGreaterThan(logged)
  })

  test('a remembered answer about the child is not given again', async () => {
    const { partner, staff } = await service.clinic('part-c')
    const parts = consentedReferral('remembered', partner.clinicId)
    const send = () =>
      service.send(partner, {
        method: 'POST',
        url: '/fhir',
        body: bundleOf(parts),
        headers: { 'idempotency-key': 'remembered', prefer: 'return=representation' },
      })
    const first = await send()
    expect((await send()).headers['idempotent-replayed']).toBe('true')

    await withdraw({ staff, consent: keptAs(first, parts, 'consent') } as Child)

    expect((await send()).status).toBe(404)
  })

  // R4 3.1.0.8: a create whose answer was lost may be sent again; what it closes must not make it seem refused.
  test.each([
    ['alone', '/fhir/Consent', (sent: Json) => sent],
    ['in a transaction', '/fhir', transactionOf],
  ])(
    'a refusal that the partner sends again under its key, %s, is answered the same and kept once',
    async (_how, url, body) => {
      const child = await referred('part-c')
      const { partner, staff, patient, performer } = child
      const sent = consentResource({ patient, performer, clinicId: staff.clinicId }, REFUSAL)
      const send = () =>
        service.send(partner, {
          method: 'POST',
          url,
          body: body(sent),
          headers: { 'idempotency-key': 'a refusal' },
        })

      const answers = [await send(), await send()]

      expect(await reads(child)).toBe(404)
      expect(answers[1]?.headers['idempotent-replayed']).toBe('true')
      expect([answers[1]?.status, answers[1]?.text]).toEqual([answers[0]?.status, answers[0]?.text])
      expect(resources(await get(staff, `Consent?patient=${patient}`))).toHaveLength(2)
    },
  )

  test('another partner and its children are not affected', async () => {
    const child = await referred('part-c')
    const { clinicId } = child.staff
    const neighbour = await service.who({
      clinicId,
      partnerId: crypto.randomUUID(),
      regime: 'part-c',
    })
    const parts = consentedReferral('neighbour', clinicId)
    const theirs = keptAs(await service.refer(neighbour, parts), parts, 'patient')

    await withdraw(child)

    expect((await get(neighbour, theirs)).status).toBe(200)
    expect(resources(await get(neighbour, 'Patient'))).toHaveLength(1)
  })
})

/** policy 5.2 and what the family says: under which law which change of the consents closes the record. */
const LAWS = ['part-c', 'ferpa', 'unknown', 'hipaa'] as const
const ROWS: readonly [string, (child: Child) => Promise<unknown>, readonly string[]][] = [
  ['nothing happens', () => Promise.resolve(), []],
  ['the consent is withdrawn', (child) => withdraw(child), LAWS],
  ['the family rejects it', (child) => withdraw(child, { status: 'rejected' }), LAWS],
  [
    'it was entered in error',
    (child) => withdraw(child, { status: 'entered-in-error' }),
    LAWS.slice(0, 3),
  ],
  ['it is a draft again', (child) => withdraw(child, { status: 'draft' }), LAWS.slice(0, 3)],
  ['staff record a refusal', (child) => recorded(child, REFUSAL), LAWS],
  [
    'staff record a refusal older than the consent',
    (child) => recorded(child, { ...REFUSAL, dateTime: '2026-02-01' }),
    [],
  ],
  [
    'staff record a refusal that names this partner',
    (child) =>
      recorded(child, {
        ...REFUSAL,
        provision: {
          type: 'deny',
          actor: [recipient(child.partner.partnerId ?? '', 'IRCP', PARTNER_SYSTEM)],
        },
      }),
    LAWS,
  ],
  [
    'staff record a refusal that names another partner',
    (child) =>
      recorded(child, {
        ...REFUSAL,
        provision: { type: 'deny', actor: [recipient('another', 'IRCP', PARTNER_SYSTEM)] },
      }),
    [],
  ],
  [
    'staff record a refusal of a recipient by a name that we do not know',
    (child) =>
      recorded(child, {
        ...REFUSAL,
        provision: { type: 'deny', actor: [recipient('1', 'IRCP', 'http://a.example/npi')] },
      }),
    LAWS,
  ],
  [
    'staff record a refusal of research',
    (child) =>
      recorded(child, {
        ...REFUSAL,
        scope: {
          coding: [
            { system: 'http://terminology.hl7.org/CodeSystem/consentscope', code: 'research' },
          ],
        },
      }),
    [],
  ],
]
const PARTNER_SYSTEM = CLINIC_SYSTEM.replace(/clinic$/, 'partner')

describe.each(LAWS)('under %s', (regime) => {
  test.each(ROWS)('when %s', async (_, happens, closes) => {
    const child = await referred(regime)
    expect(await reads(child)).toBe(200)

    await happens(child)

    expect(await reads(child)).toBe(closes.includes(regime) ? 404 : 200)
    expect((await get(child.staff, child.patient)).status).toBe(200)
  })
})

describe('by the clock', () => {
  const until = (end: string): Change => ({ provision: { period: { start: '2026-02-20', end } } })
  const at = async (child: Child, iso: string) => {
    service.clock.set(iso)
    try {
      return await reads({ ...child, partner: await service.who({ ...child.partner }) })
    } finally {
      service.clock.set(START)
    }
  }

  test.each(LAWS)(
    'under %s the last day counts, the day after the record is closed',
    async (regime) => {
      const child = await referred(regime, until('2026-03-04'))

      expect(await at(child, '2026-03-04T23:59:59Z')).toBe(200)
      expect(await at(child, '2026-03-05T00:00:00Z')).toBe(404)
    },
  )

  test('a refusal that begins later closes later, and opens when it has ended', async () => {
    const child = await referred('hipaa', 'no consent')
    await recorded(child, {
      performer: undefined,
      dateTime: '2026-03-02',
      provision: { type: 'deny', period: { start: '2026-03-10', end: '2026-03-12' } },
    })

    expect(await at(child, '2026-03-09T23:59:59Z')).toBe(200)
    expect(await at(child, '2026-03-10T00:00:00Z')).toBe(404)
    expect(await at(child, '2026-03-12T23:59:59Z')).toBe(404)
    expect(await at(child, '2026-03-13T00:00:00Z')).toBe(200)
  })

  test('an end that was set into the past closes at once', async () => {
    const child = await referred('part-c')
    const { provision } = resource(await get(child.staff, child.consent)) as { provision: Json }

    await withdraw(child, { provision: { ...provision, period: { end: '2026-03-01' } } })

    expect(await reads(child)).toBe(404)
  })
})

describe('a new consent', () => {
  const anew = ({ patient, performer, staff }: Child) =>
    consentResource(
      { patient, performer, clinicId: staff.clinicId },
      { dateTime: '2026-03-02', identifier: undefined },
    )

  test.each(LAWS)('under %s opens the record again when staff record it', async (regime) => {
    const child = await referred(regime)
    await withdraw(child)
    expect(await reads(child)).toBe(404)

    expect((await post(child.staff, 'Consent', anew(child))).status).toBe(201)

    expect(await reads(child)).toBe(200)
  })

  test('opens it when the partner sends it, with the parent who gives it', async () => {
    const child = await referred('part-c', {
      provision: { period: { start: '2026-02-20', end: '2026-03-04' } },
    })
    service.clock.set('2026-03-10T09:00:00Z')
    const late = { ...child, partner: await service.who({ ...child.partner }) }
    expect(await reads(late)).toBe(404)
    const entry = (fullUrl: string, body: Json) => ({
      fullUrl,
      resource: body,
      request: { method: 'POST', url: String(body['resourceType']) },
    })
    const mother = 'urn:uuid:0b1d2c3e-0000-4000-8000-000000000001'
    const relative = {
      resourceType: 'RelatedPerson',
      patient: { reference: child.patient },
      relationship: [
        { coding: [{ system: 'http://terminology.hl7.org/CodeSystem/v3-RoleCode', code: 'MTH' }] },
      ],
    }
    const answer = await post(late.partner, '', {
      resourceType: 'Bundle',
      type: 'transaction',
      entry: [
        entry(mother, relative),
        entry('urn:uuid:0b1d2c3e-0000-4000-8000-000000000002', {
          ...anew({ ...child, performer: mother }),
        }),
      ],
    })

    expect(answer.status).toBe(200)
    expect(await reads(late)).toBe(200)
    service.clock.set(START)
  })

  test('does not open what a refusal of the same day keeps', async () => {
    const child = await referred('hipaa')
    await recorded(child, REFUSAL)

    await post(child.staff, 'Consent', anew(child))

    expect(await reads(child)).toBe(404)
  })
})

test('a refusal is heard for a record that is closed already', async () => {
  const child = await referred('hipaa')
  await withdraw(child)
  const { patient, partner } = child

  const refusal = consentResource(
    { patient, performer: '', clinicId: partner.clinicId },
    { ...REFUSAL, performer: undefined },
  )

  expect((await post(partner, 'Consent', refusal)).status).toBe(201)
  expect(await reads(child)).toBe(404)
})

test('a read in the transaction that withdraws finds nothing of the child', async () => {
  const { partner, staff, patient, consent } = await referred('part-c')
  const standing = resource(await get(staff, consent))
  const answer = await post(partner, '', {
    resourceType: 'Bundle',
    type: 'transaction',
    entry: [
      {
        fullUrl: `https://footing-test.example/fhir/${consent}`,
        resource: { ...standing, status: 'inactive' },
        request: { method: 'PUT', url: consent },
      },
      { request: { method: 'GET', url: `Observation?patient=${patient}` } },
    ],
  })

  expect(answer.status).toBe(200)
  expect(answer.text).not.toContain('walking-alone')
})

test('a read beside a write sees the compartment of the partner alone', async () => {
  const { partner, staff, patient } = await referred('hipaa')
  const neighbour = await service.who({
    clinicId: staff.clinicId,
    partnerId: crypto.randomUUID(),
  })
  const parts = consentedReferral('beside', staff.clinicId)
  const theirs = keptAs(await service.refer(neighbour, parts), parts, 'patient')
  const fact = {
    ...observed('walking-alone', '2026-03-01', { valueBoolean: true }),
    subject: { reference: patient },
  }

  const answer = await post(partner, '', {
    resourceType: 'Bundle',
    type: 'transaction',
    entry: [
      { resource: fact, request: { method: 'POST', url: 'Observation' } },
      { request: { method: 'GET', url: 'Patient' } },
    ],
  })

  expect(answer.status).toBe(200)
  expect(answer.text).toContain(patient.split('/')[1])
  expect(answer.text).not.toContain(theirs.split('/')[1])
})
