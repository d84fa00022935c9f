import { beforeAll, describe, expect, test } from 'vitest'
import { consentedReferral, consentResource, withoutConsent } from '../helpers/consent-resources.ts'
import { type Json, observed, coded } from '../helpers/referral.ts'
import {
  type Answer,
  entries,
  keptAs,
  resource,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// Whatever way content comes in, and however the consent stands, the gate
// of IDEA Part C (34 CFR 303.414) and of FERPA (34 CFR 99.30) lets it pass or keeps it out alike.

let service: TestService
let sent = 0

beforeAll(async () => {
  service = await testService()
  return service.close
})

type Standing = 'none' | 'wrong' | 'valid' | 'withdrawn' | 'unreadable'
const STANDINGS: readonly (readonly [Standing, boolean])[] = [
  ['none', false],
  ['wrong', false],
  ['valid', true],
  ['withdrawn', false],
  ['unreadable', false],
]

interface Child {
  readonly partner: Who
  readonly patient: string
  readonly fact: string
}

/** What is to be done to the consent that the referral was taken with. */
const CHANGES: Readonly<Record<Exclude<Standing, 'none' | 'valid'>, Json>> = {
  wrong: { provision: { purpose: undefined, actor: undefined, type: 'deny' } },
  withdrawn: { status: 'inactive' },
  // Without a decision of the family there is nothing that could be read as one.
  unreadable: { policyRule: { text: 'As agreed' }, provision: { type: undefined } },
}

/** A child on record with a fact of it, and then a consent that stands so. */
async function childWhere(regime: 'part-c' | 'ferpa', standing: Standing): Promise<Child> {
  const { partner } = await service.clinic('hipaa')
  const key = `table${(sent += 1)}`
  const parts = withoutConsent(consentedReferral(key, partner.clinicId))
  const answer = await service.refer(partner, parts)
  const patient = keptAs(answer, parts, 'patient')
  const performer = keptAs(answer, parts, 'mother')
  const made = await service.send(partner, {
    method: 'POST',
    url: '/fhir/Observation',
    body: fact(patient),
  })
  expect(made.status).toBe(201)
  if (standing !== 'none') {
    const people = { patient, performer, clinicId: partner.clinicId }
    const body = consentResource(people, standing === 'valid' ? {} : CHANGES[standing])
    const taken = await service.send(partner, { method: 'POST', url: '/fhir/Consent', body })
    expect([standing, taken.status]).toEqual([standing, 201])
  }
  await service.sql('update partners set regime = $2 where partner_id = $1', [
    partner.partnerId,
    regime,
  ])
  return { partner, patient, fact: `Observation/${String(resource(made)['id'])}` }
}

const fact = (patient: string, more: Json = {}): Json => ({
  ...observed('muscle-tone', '2026-03-01', { valueCodeableConcept: coded('value', 'tone-low') }),
  subject: { reference: patient },
  ...more,
})

type Way = (child: Child) => {
  readonly method: 'POST' | 'PUT' | 'PATCH'
  readonly url: string
  readonly body: unknown
  readonly headers?: Record<string, string>
}
const bundle = (type: 'batch' | 'transaction', entry: Json) => ({
  method: 'POST' as const,
  url: '/fhir',
  body: { resourceType: 'Bundle', type, entry: [entry] },
})
const create = ({ patient }: Child): Json => ({
  resource: fact(patient),
  request: { method: 'POST', url: 'Observation' },
})
const update = ({ patient, fact: place }: Child): Json => ({
  resource: { ...fact(patient, { status: 'amended' }), id: place.split('/')[1] },
  request: { method: 'PUT', url: place },
})

const WAYS: Readonly<Record<string, Way>> = {
  create: ({ patient }) => ({ method: 'POST', url: '/fhir/Observation', body: fact(patient) }),
  update: ({ patient, fact: place }) => ({
    method: 'PUT',
    url: `/fhir/${place}`,
    body: { ...fact(patient, { status: 'amended' }), id: place.split('/')[1] },
  }),
  patch: ({ fact: place }) => ({
    method: 'PATCH',
    url: `/fhir/${place}`,
    headers: { 'content-type': 'application/json-patch+json' },
    body: [{ op: 'replace', path: '/status', value: 'amended' }],
  }),
  'create in a batch': (child) => bundle('batch', create(child)),
  'update in a batch': (child) => bundle('batch', update(child)),
  'create in a transaction': (child) => bundle('transaction', create(child)),
  'update in a transaction': (child) => bundle('transaction', update(child)),
}

/** Of a batch that of its entry. */
const statusOf = (way: string, answer: Answer): number =>
  way.endsWith('in a batch')
    ? Number(entries(answer)[0]?.response?.status.slice(0, 3))
    : answer.status

const versions = async ({ partner }: Child): Promise<unknown> => {
  const [row] = await service.sql<{ count: string }>(
    `select count(*) as count from resource_versions where clinic_id = $1 and type = 'Observation'
      and substr(id, 15, 1) = '4'`,
    [partner.clinicId],
  )
  return row?.count
}

describe.each(['part-c', 'ferpa'] as const)('of a partner under %s', (regime) => {
  describe.each(STANDINGS)('where the consent is: %s', (standing, passes) => {
    test.each(Object.keys(WAYS))(`%s is ${passes ? 'taken' : 'kept out'}`, async (way) => {
      const child = await childWhere(regime, standing)
      const make = WAYS[way]
      if (make === undefined) throw new Error('There is no such way')
      const before = await versions(child)

      const answer = await service.send(child.partner, make(child))

      const status = statusOf(way, answer)
      const after = await versions(child)
      if (passes) {
        expect([200, 201]).toContain(status)
        expect(after).not.toBe(before)
      } else {
        // A record that is closed meanwhile is as absent.
        expect([404, 405, 422]).toContain(status)
        expect(after).toBe(before)
      }
    })
  })
})
