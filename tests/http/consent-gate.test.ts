import { randomUUID } from 'node:crypto'
import { pino } from 'pino'
import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import {
  coding,
  consentedReferral,
  consentResource,
  mother,
  recipient,
  withoutConsent,
} from '../helpers/consent-resources.ts'
import { bundleOf, changed, type Json, observed, type Parts, urn } from '../helpers/referral.ts'
import {
  type Answer,
  expressions,
  issues,
  keptAs,
  type RegisteredRegime,
  resource,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

let service: TestService
let log = ''
/** A sender under each law, each of a clinic of its own. */
const senders = new Map<RegisteredRegime, { staff: Who; partner: Who; other: Who }>()
let sent = 0

beforeAll(async () => {
  const logger = pino({ level: 'trace' }, { write: (line) => (log += line) })
  service = await testService({ logger })
  for (const regime of ['part-c', 'ferpa', 'hipaa', 'unknown'] as const)
    senders.set(regime, await service.clinic(regime))
  return service.close
})

function senderUnder(regime: RegisteredRegime) {
  const found = senders.get(regime)
  if (found === undefined) throw new Error('no sender')
  return found
}
const newKey = () => `consent${(sent += 1)}`
const post = (who: Who, body: unknown, url = '/fhir', headers: Record<string, string> = {}) =>
  service.send(who, { method: 'POST', url, body, headers })
const rules = (answer: Answer) =>
  issues(answer).flatMap(({ details }) => details.coding?.map(({ code }) => code) ?? [])
const NAME = 'Musterkind'
async function rowsOf(key: string): Promise<unknown> {
  const [row] = await service.sql<{ count: number }>(
    `select (select count(*) from resource_versions where body like $1)::int
      + (select count(*) from resources where body like $1)::int
      + (select count(*) from index_tokens where code like $1)::int
      + (select count(*) from index_strings where value like $2)::int
      + (select count(*) from idempotent_answers where answer like $1)::int as count`,
    [`%${key}-%`, `%${NAME.toLowerCase()}-${key}%`],
  )
  return row?.count
}

type Change = Json & { readonly provision?: Json }

/** Sends a referral that must be refused, says nothing of the child and leaves nothing of it. */
async function refused(
  regime: RegisteredRegime,
  change: (key: string, clinicId: string) => Parts,
): Promise<Answer> {
  const key = newKey()
  const { partner } = senderUnder(regime)
  const parts = change(key, partner.clinicId)
  const answer = await post(partner, bundleOf(parts), '/fhir', { 'idempotency-key': key })

  expect(answer.status).toBe(422)
  expect(
    issues(answer).every(({ severity, code }) => `${severity} ${code}` === 'error business-rule'),
  ).toBe(true)
  expect(await rowsOf(key)).toBe(0)
  expect(answer.text + log).not.toMatch(new RegExp(`${NAME}|2024-02-01|${key}-`))
  return answer
}
const refusedWith = (regime: RegisteredRegime, change: Change) =>
  refused(regime, (key, clinicId) => consentedReferral(key, clinicId, change))

async function taken(regime: RegisteredRegime, change: Change = {}) {
  const key = newKey()
  const { partner } = senderUnder(regime)
  const parts = consentedReferral(key, partner.clinicId, change)
  const answer = await service.refer(partner, parts)
  return { key, parts, answer, patient: keptAs(answer, parts, 'patient'), partner }
}

describe('without any consent', () => {
  const everything = [
    'active',
    'permits',
    'for-disclosure',
    'by-parent',
    'written',
    'dated',
    'started',
    'not-expired',
  ]

  test('a practice under HIPAA sends for treatment as it is', async () => {
    const key = newKey()
    const { partner } = senderUnder('hipaa')

    const answer = await post(partner, bundleOf(withoutConsent(consentedReferral(key, 'x'))))

    expect(answer.status).toBe(200)
  })

  test.each([
    ['part-c', [...everything, 'not-for-another'], /early intervention.*303\.414/],
    [
      'ferpa',
      [...everything, 'names-recipient', 'names-records', 'names-purpose'],
      /school.*99\.30/,
    ],
    [
      'unknown',
      [...everything, 'not-for-another', 'names-recipient', 'names-records', 'names-purpose'],
      /not registered.*99\.30/,
    ],
  ] as const)(
    'a sender under %s is told the law and every demand',
    async (regime, demands, law) => {
      const answer = await refused(regime, (key, clinicId) =>
        withoutConsent(consentedReferral(key, clinicId)),
      )

      expect(rules(answer)).toEqual([
        'consent-gate',
        ...demands.map((demand) => `consent-gate.${demand}`),
      ])
      expect(issues(answer)[0]?.details.text).toMatch(law)
      expect(expressions(answer)).toContain('Bundle.entry[0].resource')
      expect(expressions(answer)).toContain('Consent.performer')
    },
  )

  test('a partner of whom nothing is registered is held to every law', async () => {
    const { clinicId } = senderUnder('part-c').partner
    const partnerId = randomUUID()
    const stranger = await service.who({ clinicId, partnerId })
    await service.sql('delete from partners where partner_id = $1', [partnerId])

    const answer = await post(stranger, bundleOf(withoutConsent(consentedReferral(newKey(), 'x'))))

    expect(answer.status).toBe(422)
    expect(rules(answer)).toContain('consent-gate.names-records')
  })

  test('the staff of the clinic writes without', async () => {
    const { staff } = senderUnder('part-c')

    const answer = await post(staff, bundleOf(withoutConsent(consentedReferral(newKey(), 'x'))))

    expect(answer.status).toBe(200)
  })
})

describe('with a consent in the same request', () => {
  test.each(['part-c', 'ferpa', 'hipaa', 'unknown'] as const)(
    'a whole one opens the gate under %s',
    async (regime) => {
      const { key } = await taken(regime)

      expect(await rowsOf(key)).toBeGreaterThan(0)
    },
  )

  test.each([
    ['withdrawn', { status: 'inactive' }, 'status', 'active'],
    [
      'of another child than its parent',
      { performer: [{ display: 'x' }] },
      'performer',
      'by-parent',
    ],
    ['not in writing', { sourceAttachment: undefined }, 'sourceAttachment', 'written'],
    ['given tomorrow', { dateTime: '2026-03-03' }, 'dateTime', 'dated'],
    [
      'for another recipient',
      { provision: { actor: [recipient('a-school')] } },
      'provision.actor',
      'not-for-another',
    ],
  ] as const)('one that is %s is named with its element', async (_, change, path, demand) => {
    const answer = await refusedWith('part-c', change)

    const at = expressions(answer)[1]
    expect(at).toMatch(/^Bundle\.entry\[\d+\]\.resource\./)
    expect(at?.replace(/^Bundle\.entry\[\d+\]\.resource\./, '')).toBe(path)
    expect(rules(answer)).toEqual(['consent-gate', `consent-gate.${demand}`])
  })

  test('its first and its last day count, the days around them do not', async () => {
    const period = (start: string, end: string): Change => ({
      provision: { period: { start, end } },
    })

    await taken('part-c', period('2026-03-02', '2026-03-02'))
    const expired = await refusedWith('part-c', period('2026-02-20', '2026-03-01'))
    const early = await refusedWith('part-c', period('2026-03-03', '2026-08-31'))

    expect(rules(expired)).toEqual(['consent-gate', 'consent-gate.not-expired'])
    expect(rules(early)).toEqual(['consent-gate', 'consent-gate.started'])
  })

  test('one that denies is a refusal', async () => {
    const answer = await refusedWith('part-c', { provision: { type: 'deny' } })

    expect(rules(answer)).toEqual(['consent-gate', 'consent-gate.permits'])
  })

  test('under Part C a recipient need not be named, from a school it must; with records and purpose', async () => {
    const bare: Change = { provision: { actor: undefined, class: undefined, purpose: undefined } }

    await taken('part-c', bare)
    const ferpa = await refusedWith('ferpa', bare)
    const unknown = await refusedWith('unknown', bare)

    const named = ['names-recipient', 'names-records', 'names-purpose']
    expect(rules(ferpa)).toEqual(['consent-gate', ...named.map((one) => `consent-gate.${one}`)])
    expect(rules(unknown).slice(-3)).toEqual(named.map((one) => `consent-gate.${one}`))
    expect(issues(ferpa)[1]?.details.text).toContain(
      `NamingSystem/clinic|${senderUnder('ferpa').partner.clinicId}`,
    )
  })

  test('one for another purpose does not count', async () => {
    const answer = await refusedWith('ferpa', {
      provision: { purpose: [coding('v3-ActReason', 'HRESCH')] },
    })

    expect(rules(answer)).toEqual([
      'consent-gate',
      'consent-gate.for-disclosure',
      'consent-gate.names-purpose',
    ])
  })

  test('one about another child does not count', async () => {
    const answer = await refused('part-c', (key, clinicId) => {
      const parts = consentedReferral(key, clinicId)
      const twin = parts.get('patient')
      if (twin === undefined) throw new Error('no patient')
      const resource = { ...twin.resource, identifier: [{ system: 's', value: `${key}-twin` }] }
      const both = new Map([
        ...parts,
        [
          'twin',
          { ...twin, resource, fullUrl: urn('twin'), request: { method: 'POST', url: 'Patient' } },
        ] as const,
      ])
      return changed(changed(both, 'consent', { patient: { reference: urn('twin') } }), 'mother', {
        patient: { reference: urn('twin') },
      })
    })

    expect(expressions(answer)[0]).toBe('Bundle.entry[0].resource')
    expect(rules(answer).filter((rule) => rule === 'consent-gate')).toHaveLength(1)
    expect(rules(answer)).toContain('consent-gate.active')
  })
})

describe('with a consent on record', () => {
  const tone = (patient: string): Json => ({
    ...observed('muscle-tone', '2026-03-01', {
      valueCodeableConcept: {
        coding: [{ system: 'https://footing.example/fhir/CodeSystem/value', code: 'tone-low' }],
      },
    }),
    subject: { reference: patient },
  })
  const countOf = async (patient: string) => {
    const [row] = await service.sql<{ count: number }>(
      `select count(*)::int as count from resource_versions where body like $1 and type <> 'AuditEvent'`,
      [`%${patient}"%`],
    )
    return row?.count
  }
  const consentOf = (patient: string, performer: string, clinicId: string, change: Change) =>
    consentResource({ patient, performer, clinicId }, { dateTime: '2026-03-01', ...change })

  test('later content is taken, alone and in a Bundle, until its last day has passed', async () => {
    const { patient, partner } = await taken('part-c', {
      provision: { period: { start: '2026-02-20', end: '2026-03-04' } },
    })
    try {
      service.clock.set('2026-03-04T23:59:00Z')
      const late = await service.who({ ...partner })
      expect((await post(late, tone(patient), '/fhir/Observation')).status).toBe(201)

      service.clock.set('2026-03-05T00:01:00Z')
      const before = await countOf(patient)
      const tooLate = await service.who({ ...partner })
      const answer = await post(tooLate, tone(patient), '/fhir/Observation')

      expect(answer.status).toBe(422)
      // The record is closed to its sender, so the child is to it as any that is not kept here.
      expect(expressions(answer)).toEqual(['Observation.subject.reference'])
      expect(await countOf(patient)).toBe(before)
    } finally {
      service.clock.set('2026-03-02T09:00:00Z')
    }
  })

  test('a repeated referral is a new one when the consent has expired, and is refused', async () => {
    const { parts, partner } = await taken('part-c', {
      provision: { period: { start: '2026-02-20', end: '2026-03-02' } },
    })
    const conditional = new Map(
      [...parts].filter(([, { request }]) => request.ifNoneExist !== undefined),
    )
    try {
      service.clock.set('2026-03-10T09:00:00Z')
      const again = await post(await service.who({ ...partner }), bundleOf(conditional))

      expect(again.status).toBe(422)
      expect(rules(again)).toContain('consent-gate')
    } finally {
      service.clock.set('2026-03-02T09:00:00Z')
    }
  })

  test('an update of the Task passes the gate like all else, until the consent is withdrawn', async () => {
    const { partner, answer, parts } = await taken('part-c')
    const { staff } = senderUnder('part-c')
    const [task, consent] = [keptAs(answer, parts, 'task'), keptAs(answer, parts, 'consent')]
    const stands = async () =>
      z
        .record(z.string(), z.unknown())
        .parse((await service.send(staff, { url: `/fhir/${task}` })).json)
    const update = async (text: string) => {
      const body = { ...(await stands()), note: [{ text }] }
      return service.send(partner, { method: 'PUT', url: `/fhir/${task}`, body })
    }
    const patch = (text: string) =>
      service.send(partner, {
        method: 'PATCH',
        url: `/fhir/${task}`,
        body: [{ op: 'add', path: '/description', value: text }],
        headers: { 'content-type': 'application/json-patch+json' },
      })
    const cancel = async () => {
      const { businessStatus: _left, ...kept } = await stands()
      const body = { ...kept, status: 'cancelled', statusReason: { text: 'Invented' } }
      return service.send(partner, { method: 'PUT', url: `/fhir/${task}`, body })
    }

    const open = await update('With a consent (invented).')
    const withdrawn = z
      .record(z.string(), z.unknown())
      .parse((await service.send(partner, { url: `/fhir/${consent}` })).json)
    const shut = await service.send(partner, {
      method: 'PUT',
      url: `/fhir/${consent}`,
      body: { ...withdrawn, status: 'inactive' },
    })
    const before = await stands()

    expect([open.status, shut.status]).toEqual([200, 200])
    // The Task is to its sender as one that is not kept here, and no update makes one.
    expect((await update('Without (invented).')).status).toBe(405)
    expect((await patch('Without (invented).')).status).toBe(404)
    expect((await cancel()).status).toBe(405)
    expect(await stands()).toEqual(before)
    expect(before).toMatchObject({ note: [{ text: 'With a consent (invented).' }] })
  })

  test('a withdrawal can always be sent, and shuts the gate', async () => {
    const { patient, partner, answer, parts } = await taken('part-c')
    const performer = keptAs(answer, parts, 'mother')
    const refusal = consentOf(patient, performer, partner.clinicId, { provision: { type: 'deny' } })

    expect((await post(partner, refusal, '/fhir/Consent')).status).toBe(201)
    const shut = await post(partner, tone(patient), '/fhir/Observation')

    expect(shut.status).toBe(422)
    expect(rules(shut)).toEqual(['reference-exists'])
  })

  test('the same consent sent again as inactive is withdrawn', async () => {
    const identifier = [{ system: 'https://practice.example/ids', value: `${newKey()}-form` }]
    const { patient, partner, answer, parts } = await taken('part-c', { identifier })
    const performer = keptAs(answer, parts, 'mother')
    const withdrawn = consentOf(patient, performer, partner.clinicId, {
      identifier,
      status: 'inactive',
    })
    service.clock.advance(1_000)

    expect((await post(partner, withdrawn, '/fhir/Consent')).status).toBe(201)

    expect(rules(await post(partner, tone(patient), '/fhir/Observation'))).toEqual([
      'reference-exists',
    ])
  })

  test('a consent that another partner holds opens nothing', async () => {
    const { patient, partner } = await taken('part-c')
    const { other } = senderUnder('part-c')

    const answer = await post(other, bundleOf(withoutConsent(consentedReferral(newKey(), 'x'))))

    expect(answer.status).toBe(422)
    expect((await post(partner, tone(patient), '/fhir/Observation')).status).toBe(201)
  })
})

describe('what needs no consent', () => {
  test('people in their work, organisations and forms are about no child', async () => {
    const { partner } = senderUnder('part-c')

    const answer = await post(
      partner,
      { resourceType: 'Organization', name: 'An invented school' },
      '/fhir/Organization',
    )

    expect(answer.status).toBe(201)
  })

  test('content that says not of whom it is is refused', async () => {
    const { partner } = senderUnder('part-c')
    const note = {
      resourceType: 'DocumentReference',
      status: 'current',
      content: [{ attachment: { title: 'Invented', contentType: 'text/plain' } }],
    }

    const answer = await post(partner, note, '/fhir/DocumentReference')

    expect(answer.status).toBe(422)
    expect(rules(answer)).toEqual(['consent-gate.child'])
  })

  test('a new child with a consent that does not count is not taken, not even its name', async () => {
    const answer = await refused('part-c', (key, clinicId) => {
      const parts = consentedReferral(key, clinicId, { status: 'draft' })
      return new Map([...parts].filter(([name]) => ['patient', 'consent', 'mother'].includes(name)))
    })

    expect(rules(answer)).toEqual(['consent-gate', 'consent-gate.active'])
  })

  test('a parent whom the consent names can be sent with it', async () => {
    const { patient, partner } = await taken('part-c')

    const answer = await post(partner, mother(patient), '/fhir/RelatedPerson')

    expect(answer.status).toBe(201)
  })
})

// A Provenance names no child of its own: it is content about those whose data it is about (R4 6.3.4, target).
test('where something comes from is taken under the consent of its child, and not without', async () => {
  const { partner } = senderUnder('ferpa')
  const parts = consentedReferral(newKey(), partner.clinicId)
  const first = await post(partner, bundleOf(parts))
  expect(first.status, first.text).toBe(200)
  const patient = keptAs(first, parts, 'patient')
  const origin = {
    resourceType: 'Provenance',
    agent: [{ who: { display: 'An invented record system' } }],
  }
  const fact = {
    ...observed('walking-alone', '2026-03-01', { valueBoolean: false }),
    subject: { reference: patient },
  }

  const made = await post(partner, fact, '/fhir/Observation', {
    'x-provenance': JSON.stringify(origin),
  })
  expect(made.status, made.text).toBe(201)
  const target = [{ reference: `Observation/${String(resource(made)['id'])}` }]
  const recorded = '2026-03-02T09:00:00Z'
  const about = await post(partner, { ...origin, recorded, target }, '/fhir/Provenance')
  expect(about.status, about.text).toBe(201)

  const together = await post(partner, {
    resourceType: 'Bundle',
    type: 'transaction',
    entry: [
      {
        fullUrl: 'urn:uuid:5e1f0000-0000-4000-8000-0000000000bb',
        resource: fact,
        request: { method: 'POST', url: 'Observation' },
      },
      {
        resource: {
          ...origin,
          recorded,
          target: [{ reference: 'urn:uuid:5e1f0000-0000-4000-8000-0000000000bb' }],
        },
        request: { method: 'POST', url: 'Provenance' },
      },
    ],
  })
  expect(together.status, together.text).toBe(200)

  const organisation = await post(
    partner,
    { resourceType: 'Organization', name: 'An invented practice' },
    '/fhir/Organization',
  )
  const nobody = [{ reference: `Organization/${String(resource(organisation)['id'])}` }]
  const unnamed = await post(partner, { ...origin, recorded, target: nobody }, '/fhir/Provenance')
  expect([unnamed.status, rules(unnamed)]).toEqual([422, ['consent-gate.child']])
})
