import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { asResource } from '../../src/fhir/validate.ts'
import { profileFaults } from '../../src/fhir/profiles.ts'
import { civilDate } from '../../src/domain/calendar.ts'
import {
  cardsOf,
  CHILD_ID,
  keptThere,
  prefetchOf,
  searchset,
  SIGN,
  signCall,
  VIEW,
  viewCall,
} from '../helpers/cds.ts'
import { changed, coded, type Json, observed, referralParts, without } from '../helpers/referral.ts'
import { expressions, type TestService, testService, type Who } from '../helpers/service.ts'

// CDS Hooks 2.0, typed from its text: discovery, patient-view, order-sign.

let service: TestService
let partner: Who
let staff: Who
const PARTS = referralParts({ key: 'hooks' })
const WHOLE = prefetchOf(PARTS)

beforeAll(async () => {
  service = await testService()
  ;({ partner, staff } = await service.clinic())
  return service.close
})

const call = (url: string, body: unknown, headers: Readonly<Record<string, string>> = {}) =>
  service.send(partner, {
    method: 'POST',
    url,
    body,
    headers: { 'content-type': 'application/json', ...headers },
  })
const view = (prefetch: Json, change: Json = {}) => call(VIEW, viewCall(prefetch, change))
const observations = (resources: readonly Json[], more: Json = {}): Json => ({
  ...WHOLE,
  observations: searchset(resources, more),
})
const seen = (code: string, value: boolean) =>
  keptThere(observed(code, '2026-03-01', { valueBoolean: value }), `seen-${code}`)
const draft = (change: Json = {}): Json => ({
  resourceType: 'ServiceRequest',
  id: 'draft-1',
  status: 'draft',
  intent: 'order',
  code: coded('exchange', 'orthotic-referral'),
  subject: { reference: `Patient/${CHILD_ID}` },
  ...change,
})

describe('discovery', () => {
  test('names both services, open to everybody, with what the text asks of each', async () => {
    const answer = await service.send(undefined, { url: '/cds-services' })
    const { services } = z
      .object({
        services: z.array(
          z.strictObject({
            hook: z.string(),
            title: z.string(),
            description: z.string().min(1),
            id: z.string().regex(/^[\w-]+$/),
            prefetch: z.record(z.string(), z.string()),
            usageRequirements: z.string(),
          }),
        ),
      })
      .parse(answer.json)

    expect(answer.status).toBe(200)
    expect(answer.headers['content-type']).toMatch(/^application\/json/)
    expect(services.map(({ hook }) => hook)).toEqual(['patient-view', 'order-sign'])
    expect(services.every(({ usageRequirements }) => usageRequirements.includes('412'))).toBe(true)
  })

  test('asks for what any FHIR server finds: its queries, put to this one, are answered', async () => {
    const { services } = z
      .object({ services: z.array(z.object({ prefetch: z.record(z.string(), z.string()) })) })
      .parse((await service.send(undefined, { url: '/cds-services' })).json)
    const sent = await service.refer(partner, referralParts({ key: 'queries' }))
    const patientId = /Patient\/([^/"]+)\/_history/.exec(sent.text)?.[1] ?? ''
    const filled: Json = {}
    for (const [key, query] of Object.entries(services[0]?.prefetch ?? {})) {
      const url = `/fhir/${query.replaceAll('{{context.patientId}}', patientId)}`
      const more = query.includes('?') ? '&_count=500' : ''
      const found = await service.send(partner, {
        url: `${url}${more}`,
        headers: { prefer: 'handling=strict' },
      })
      expect(found.status, url).toBe(200)
      filled[key] = found.json
    }
    const context = { userId: 'Practitioner/therapist-1', patientId }
    const [card] = cardsOf(await view(filled, { context }))

    expect(card?.summary).toContain('may be offered')
    // It was referred already: the search found it.
    expect(card?.suggestions).toBeUndefined()
    expect(card?.detail).toContain('under way since March 1, 2026')
  })
})

describe('patient-view', () => {
  test('says suitability, urgency with its parts, evidence and cautions of a whole record', async () => {
    const cards = cardsOf(await view(WHOLE))

    expect(cards).toHaveLength(1)
    const [card] = cards
    expect(card?.summary).toMatch(
      /^Flexible supramalleolar orthosis: may be offered\. Urgency [\d.]+ of 100, \w+\.$/,
    )
    expect(card?.source).toMatchObject({ label: 'Footing' })
    expect(card?.source.url).toMatch(/^https:\/\/footing-test\.example\/fhir\/PlanDefinition\//)
    for (const words of [
      'All criteria are met',
      'points',
      'not a diagnosis',
      'nothing of it is kept',
    ])
      expect(card?.detail).toContain(words)
    expect(card?.overrideReasons?.map(({ code }) => code)).toContain('already-referred')
  })

  test('proposes a referral that keeps R4 and our profile', async () => {
    const [card] = cardsOf(await view(WHOLE))
    const [action] = card?.suggestions?.[0]?.actions ?? []
    if (action === undefined || !('resource' in action)) throw new Error('nothing is proposed')
    const resource = asResource(action.resource)

    expect(action.type).toBe('create')
    expect(profileFaults(resource, 'ServiceRequest', civilDate('2026-03-02'))).toEqual([])
    expect(resource).toMatchObject({
      resourceType: 'ServiceRequest',
      status: 'draft',
      intent: 'proposal',
      subject: { reference: `Patient/${CHILD_ID}` },
      requester: { reference: 'Practitioner/therapist-1' },
    })
  })

  test('what is missing is named with its codes, and nothing unknown is taken for absent', async () => {
    const few = prefetchOf(without(PARTS, 'tiptoe', 'great-toe', 'arch-seen', 'open-skin'))
    const [card] = cardsOf(await view(few))

    expect(card?.summary).toContain('not known yet')
    expect(card?.detail).toContain('`open-skin.left`')
    expect(card?.suggestions).toHaveLength(1)
  })

  test('a sign that goes to a physician at once is critical, and stands in the summary', async () => {
    const lost = prefetchOf(changed(PARTS, 'loss-of-skills', { valueBoolean: true }))
    const [card] = cardsOf(await view(lost))

    expect(card?.indicator).toBe('critical')
    expect(card?.summary).toMatch(/^To a physician at once: /)
  })

  test('a child that no orthosis is offered to is not proposed for a referral', async () => {
    const open = prefetchOf(changed(PARTS, 'open-skin.left', { valueBoolean: true }))
    const [card] = cardsOf(await view(open))

    expect(card?.summary).toContain('not to be offered')
    expect(card?.suggestions).toBeUndefined()
    expect(card?.selectionBehavior).toBeUndefined()
  })

  test.each([
    ['too old', '2018-01-01'],
    ['too young', '2026-02-01'],
  ])('a child that is %s gets no card', async (_title, birthDate) => {
    const patient = { ...(WHOLE['patient'] as Json), birthDate }
    const prefetch = { ...observations([seen('motor-concern', true)]), patient }

    expect(cardsOf(await view({ ...prefetch, conditions: null }))).toEqual([])
  })

  test('a child of whom nothing relevant is known gets no card', async () => {
    const nothing = { ...WHOLE, observations: null, conditions: null }
    const foreign = observations([
      {
        resourceType: 'Observation',
        id: 'weight',
        status: 'final',
        code: { coding: [{ system: 'http://loinc.org', code: '29463-7' }] },
        subject: { reference: `Patient/${CHILD_ID}` },
      },
    ])

    expect(cardsOf(await view(nothing))).toEqual([])
    expect(cardsOf(await view({ ...foreign, conditions: null }))).toEqual([])
  })

  test('a child that has died gets no card', async () => {
    const patient = { ...(WHOLE['patient'] as Json), deceasedBoolean: true }

    expect(cardsOf(await view({ ...WHOLE, patient }))).toEqual([])
  })

  test.each([
    ['es', 'es', /^Ortesis supramaleolar flexible: se puede ofrecer\./],
    ['de, es-MX;q=0.8, en;q=0.5', 'es', /^Ortesis/],
    ['es;q=0, en', 'en', /^Flexible/],
    ['*', 'en', /^Flexible/],
    ['zz-@@', 'en', /^Flexible/],
  ])('Accept-Language %s is answered in %s', async (accepted, language, summary) => {
    const answer = await call(VIEW, viewCall(WHOLE), { 'accept-language': accepted })

    expect(answer.headers['content-language']).toBe(language)
    expect(cardsOf(answer)[0]?.summary).toMatch(summary)
  })

  test('the same call has the same ids, another call has others', async () => {
    const once = viewCall(WHOLE)
    const first = await call(VIEW, once)

    expect((await call(VIEW, once)).text).toBe(first.text)
    expect(cardsOf(await view(WHOLE))[0]?.uuid).not.toBe(cardsOf(first)[0]?.uuid)
  })

  test('decimals of what comes in are read as they were sent', async () => {
    const text = JSON.stringify(viewCall(WHOLE)).replace('"value":15', '"value":15.0')

    expect(cardsOf(await call(VIEW, text))).toHaveLength(1)
  })
})

describe('prefetch', () => {
  test.each(['patient', 'observations', 'conditions'])('%s absent is 412', async (key) => {
    const { [key]: _left, ...rest } = WHOLE
    const answer = await view(rest)

    expect(answer.status).toBe(412)
    expect(expressions(answer)).toEqual([`prefetch.${key}`])
  })

  test.each(['patient', 'observations', 'conditions'])(
    '%s as an OperationOutcome was not answered: 412',
    async (key) => {
      const outcome = {
        resourceType: 'OperationOutcome',
        issue: [{ severity: 'error', code: 'exception' }],
      }

      expect((await view({ ...WHOLE, [key]: outcome })).status).toBe(412)
    },
  )

  test('no prefetch at all is 412', async () => {
    const { prefetch, ...rest } = viewCall(WHOLE)

    expect((await call(VIEW, rest)).status).toBe(412)
  })

  test('observations and conditions that are null were looked for and not found', async () => {
    const answer = await view({ ...WHOLE, conditions: null })

    expect(cardsOf(answer)).toHaveLength(1)
    expect((await view({ ...WHOLE, patient: null })).status).toBe(412)
  })

  test('referrals absent, null and failed are no reason to be silent', async () => {
    const { referrals: _left, ...rest } = WHOLE
    const outcome = { resourceType: 'OperationOutcome', issue: [] }

    for (const prefetch of [rest, WHOLE, { ...rest, referrals: outcome }])
      expect(cardsOf(await view(prefetch))[0]?.suggestions).toHaveLength(1)
  })

  test('a first page is not all there is: 412', async () => {
    const link = [
      { relation: 'self', url: 'https://records.example/fhir/Observation' },
      { relation: 'next', url: 'https://records.example/fhir/Observation?page=2' },
    ]

    expect((await view(observations([seen('motor-concern', true)], { link }))).status).toBe(412)
  })

  test('an error among what was found is a search that failed: 412, a hint is not', async () => {
    const [found] = [seen('motor-concern', true)]
    const withIssue = (severity: string) =>
      view({
        ...WHOLE,
        observations: {
          ...searchset([found]),
          entry: [
            { resource: found },
            {
              resource: {
                resourceType: 'OperationOutcome',
                issue: [{ severity, code: 'informational' }],
              },
              search: { mode: 'outcome' },
            },
          ],
        },
      })

    expect((await withIssue('error')).status).toBe(412)
    expect((await withIssue('information')).status).toBe(200)
  })

  test.each([{ birthDate: undefined }, { birthDate: '2024' }, { birthDate: '2030-01-01' }])(
    'a child without a birth date that ages can be counted from is 412: %j',
    async (change) => {
      const patient = { ...(WHOLE['patient'] as Json), ...change }

      expect((await view({ ...WHOLE, patient })).status).toBe(412)
    },
  )
})

describe('what cannot be read is 400 with its place', () => {
  test.each([
    ['another hook', { hook: 'order-select' }, 'hook'],
    ['no hook', { hook: undefined }, 'hook'],
    ['an instance that is no UUID', { hookInstance: '1' }, 'hookInstance'],
    ['no context', { context: undefined }, 'context'],
    ['no user', { context: { patientId: CHILD_ID } }, 'context.userId'],
    ['no patient', { context: { userId: 'Practitioner/1' } }, 'context.patientId'],
    [
      'a patient that is a reference',
      { context: { userId: 'Practitioner/1', patientId: 'Patient/1' } },
      'context.patientId',
    ],
    [
      'an empty encounter',
      { context: { userId: 'Practitioner/1', patientId: CHILD_ID, encounterId: '' } },
      'context.encounterId',
    ],
    [
      'authorisation to nowhere',
      { fhirServer: undefined, fhirAuthorization: { access_token: 'x' } },
      'fhirServer',
    ],
    ['prefetch that is a list', { prefetch: [] }, 'prefetch'],
  ])('%s', async (_title, change, place) => {
    const answer = await view(WHOLE, change)

    expect(answer.status, answer.text).toBe(400)
    expect(expressions(answer)).toContain(place)
  })

  test('JSON that is none', async () => {
    expect((await call(VIEW, '{"hook":')).status).toBe(400)
    expect((await call(VIEW, '[]')).status).toBe(400)
    expect((await call(VIEW, '')).status).toBe(400)
  })

  test('an observation that is not valid R4, or not as rules read it', async () => {
    const { status: _left, ...without_ } = seen('motor-concern', true)
    const invalid = await view(observations([without_]))
    const { effectiveDateTime: _day, ...undated } = seen('motor-concern', true)
    const unread = await view(observations([undated]))

    expect([invalid.status, expressions(invalid)]).toEqual([
      400,
      ['prefetch.observations.entry[0].resource.status'],
    ])
    expect(unread.status).toBe(400)
    expect(expressions(unread)[0]).toContain('effective')
  })

  test('a record of another child, wherever it stands', async () => {
    const other = { reference: 'Patient/somebody-else' }
    const mixed = await view(observations([{ ...seen('motor-concern', true), subject: other }]))
    const patient = { ...(WHOLE['patient'] as Json), id: 'somebody-else' }
    const swapped = await view({ ...WHOLE, patient })
    const ordered = await call(SIGN, signCall(WHOLE, [draft({ subject: other })]))

    expect([mixed.status, swapped.status, ordered.status]).toEqual([400, 400, 400])
    expect(expressions(swapped)).toEqual(['prefetch.patient.id'])
  })

  test('a search that is no Bundle', async () => {
    expect((await view({ ...WHOLE, conditions: { resourceType: 'Condition' } })).status).toBe(400)
    expect((await view({ ...WHOLE, conditions: 'none' })).status).toBe(400)
  })

  test('a body that is no JSON by its own word', async () => {
    const refused = await call(VIEW, '<a/>', { 'content-type': 'application/xml' })

    expect(refused.status).toBe(415)
    // CDS Hooks 2.0, "Calling a CDS Service": the body is application/json, no FHIR media type (from memory).
    for (const url of [VIEW, SIGN, `${VIEW}/feedback`]) {
      const { status, text } = await call(url, '{}', { 'content-type': 'text/plain' })
      expect([status, text]).toEqual([415, expect.stringContaining('must be application/json')])
    }
  })
})

describe('order-sign', () => {
  test('puts finding and priority into the draft, and keeps all else of it', async () => {
    const order = draft({ priority: 'stat', note: [{ text: 'As agreed by phone.' }] })
    const [card] = cardsOf(await call(SIGN, signCall(WHOLE, [order])))
    const [action] = card?.suggestions?.[0]?.actions ?? []
    if (action === undefined || !('resource' in action)) throw new Error('nothing is proposed')
    const { note, ...rest } = action.resource
    const resource = asResource(action.resource)

    expect(action.type).toBe('update')
    expect(rest).toEqual({ ...order, note: undefined })
    expect(z.array(z.object({ text: z.string() })).parse(note)[0]).toEqual({
      text: 'As agreed by phone.',
    })
    expect(profileFaults(resource, 'ServiceRequest', civilDate('2026-03-02'))).toEqual([])
  })

  test('a draft that has both already is left as it is', async () => {
    const [card] = cardsOf(await call(SIGN, signCall(WHOLE, [draft()])))
    const [action] = card?.suggestions?.[0]?.actions ?? []
    if (action === undefined || !('resource' in action)) throw new Error('nothing is proposed')
    const again = cardsOf(await call(SIGN, signCall(WHOLE, [action.resource])))

    expect(again).toHaveLength(1)
    expect(again[0]?.suggestions).toBeUndefined()
  })

  test('warns of a referral for a child that no orthosis is offered to', async () => {
    const open = prefetchOf(changed(PARTS, 'open-skin.left', { valueBoolean: true }))
    const [card] = cardsOf(await call(SIGN, signCall(open, [draft()])))

    expect(card?.indicator).toBe('warning')
  })

  describe('while a referral of the child is under way already', () => {
    const kept = (change: Json = {}) =>
      draft({ id: 'sent-1', status: 'active', authoredOn: '2026-02-10T09:00:00Z', ...change })
    const sign = (found: readonly Json[], order = draft(), prefetch = WHOLE) =>
      call(SIGN, signCall({ ...prefetch, referrals: searchset(found) }, [order]))
    const SECOND =
      'A referral of this child is under way since February 10, 2026: do not send a second one.'

    test('the card says so first, warns, and proposes nothing', async () => {
      const [card] = cardsOf(await sign([kept()]))

      expect(card?.summary).toBe(SECOND)
      expect(card?.detail).toContain(SECOND)
      expect(card?.detail).toContain('All criteria are met')
      expect(card?.indicator).toBe('warning')
      expect(card?.suggestions).toBeUndefined()
      expect(card?.selectionBehavior).toBeUndefined()
    })

    test('in Spanish too', async () => {
      const body = signCall({ ...WHOLE, referrals: searchset([kept()]) }, [draft()])
      const [card] = cardsOf(await call(SIGN, body, { 'accept-language': 'es' }))

      expect(card?.summary).toContain('en curso desde el 10 de febrero de 2026: no envíe otra')
    })

    test('a sign that goes to a physician at once stands first, and that one is under way in the detail', async () => {
      const lost = prefetchOf(changed(PARTS, 'loss-of-skills', { valueBoolean: true }))
      const [card] = cardsOf(await sign([kept()], draft(), lost))

      expect(card?.summary).toMatch(/^To a physician at once: /)
      expect(card?.detail).toContain(SECOND)
      expect(card?.indicator).toBe('critical')
    })

    test('it is said of a child of whom nothing else is known', async () => {
      const nothing = { ...WHOLE, observations: null, conditions: null }

      expect(cardsOf(await sign([kept()], draft(), nothing))[0]?.summary).toBe(SECOND)
    })

    test.each([
      ['a draft is none', [kept({ status: 'draft' })]],
      ['one that ended is none', [kept({ status: 'completed' }), kept({ status: 'revoked' })]],
      ['that nothing is to be done is none', [kept({ doNotPerform: true })]],
      ['another order is none', [kept({ code: { text: 'Physical therapy' } })]],
      ['the order that is signed is none, when it is kept already', [kept({ id: 'draft-1' })]],
    ])('%s', async (_title, found) => {
      const [card] = cardsOf(await sign(found))

      expect(card?.detail).not.toContain('under way')
      expect(card?.suggestions).toHaveLength(1)
    })

    test('patient-view says since when as well', async () => {
      const [card] = cardsOf(await view({ ...WHOLE, referrals: searchset([kept()]) }))

      expect(card?.detail).toContain(SECOND)
      expect(card?.summary).toContain('may be offered')
      expect(card?.suggestions).toBeUndefined()

      const drafted = await view({ ...WHOLE, referrals: searchset([kept({ status: 'draft' })]) })
      expect(cardsOf(drafted)[0]?.detail).toContain('on record already')
      expect(cardsOf(drafted)[0]?.suggestions).toBeUndefined()
    })
  })

  test('other orders need no prefetch: there is no card, and nothing is missed', async () => {
    const other = draft({ code: { text: 'Something else' } })
    const { prefetch, ...bare } = signCall(WHOLE, [other])
    const { prefetch: _none, ...ours } = signCall(WHOLE, [draft()])

    expect(cardsOf(await call(SIGN, bare))).toEqual([])
    expect((await call(SIGN, ours)).status).toBe(412)
  })

  test('says nothing about other orders, and needs the Bundle of them', async () => {
    const other = draft({ code: { text: 'Something else' } })
    const { draftOrders, ...context } = signCall(WHOLE, [])['context'] as Json

    expect(cardsOf(await call(SIGN, signCall(WHOLE, [other])))).toEqual([])
    expect(cardsOf(await call(SIGN, signCall(WHOLE, [])))).toEqual([])
    expect((await call(SIGN, signCall(WHOLE, [], { context }))).status).toBe(400)
  })
})

describe('nothing of a call is kept', () => {
  test('but that it was made: who, by which hook, about which patient', async () => {
    const tables = ['resources', 'resource_versions', 'idempotent_answers']
    const count = async () =>
      (
        await service.sql<{ n: string }>(
          tables.map((table) => `select count(*) n from ${table}`).join(' union all '),
        )
      ).map(({ n }) => n)
    const before = await count()
    const answer = await view(WHOLE)
    const rows = await service.sql<{ record: unknown }>(
      'select record from audit_log where clinic_id = $1 order by recorded desc, sequence desc limit 1',
      [staff.clinicId],
    )
    const text = JSON.stringify(rows)

    expect(answer.status).toBe(200)
    expect(await count()).toEqual(before)
    expect(text).toContain('$patient-view')
    expect(text).toContain(partner.clientId)
    expect(text).not.toMatch(/Musterkind|motor-concern|tone-low/)
  })
})

test('an address of no service is not found, another method is not taken', async () => {
  expect((await call('/cds-services/other', viewCall(WHOLE))).status).toBe(404)
  expect((await service.send(partner, { url: VIEW })).status).toBe(405)
})
