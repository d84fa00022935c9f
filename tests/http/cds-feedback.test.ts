import { randomUUID } from 'node:crypto'
import { beforeAll, expect, test } from 'vitest'
import { SIGN, VIEW } from '../helpers/cds.ts'
import type { Json } from '../helpers/referral.ts'
import { expressions, type TestService, testService, type Who } from '../helpers/service.ts'

// CDS Hooks 2.0, "Feedback", typed from its text.

let service: TestService
let partner: Who
let other: Who

beforeAll(async () => {
  service = await testService()
  ;({ partner, other } = await service.clinic())
  return service.close
})

interface Row {
  readonly partner_id: string
}

const REASONS = 'https://footing.example/fhir/CodeSystem/override-reason'
const accepted = (change: Json = {}): Json => ({
  card: randomUUID(),
  outcome: 'accepted',
  acceptedSuggestions: [{ id: randomUUID() }],
  outcomeTimestamp: '2026-03-02T08:59:00Z',
  ...change,
})
const overridden = (change: Json = {}): Json => ({
  card: randomUUID(),
  outcome: 'overridden',
  overrideReason: {
    reason: { code: 'family-declines', system: REASONS },
    userComment: 'The mother of Musterkind said no.',
  },
  outcomeTimestamp: '2026-03-02T08:59:30.250Z',
  ...change,
})
const tell = (who: Who, feedback: unknown, url = VIEW) =>
  service.send(who, {
    method: 'POST',
    url: `${url}/feedback`,
    body: feedback,
    headers: { 'content-type': 'application/json' },
  })
const kept = (card: unknown) =>
  service.sql<Row>('select * from advice_feedback where card = $1', [card])

test('what became of cards is kept: outcome, reason as a code, when; and no comment', async () => {
  const [yes, no] = [accepted(), overridden()]
  const answer = await tell(partner, { feedback: [yes, no] })

  expect([answer.status, answer.text]).toEqual([200, ''])
  expect(await kept(yes['card'])).toMatchObject([
    {
      clinic_id: partner.clinicId,
      client_id: partner.clientId,
      partner_id: partner.partnerId,
      service: 'orthotic-referral-view',
      outcome: 'accepted',
      reason_code: null,
    },
  ])
  const overrides = await kept(no['card'])
  expect(overrides).toMatchObject([
    { outcome: 'overridden', reason_system: REASONS, reason_code: 'family-declines' },
  ])
  expect(JSON.stringify(overrides)).not.toContain('Musterkind')
})

test('the same again is kept once; a later word about the same card beside the first', async () => {
  const first = overridden()
  const later = { ...first, outcomeTimestamp: '2026-03-02T09:10:00Z' }
  for (const one of [first, first, later])
    expect((await tell(partner, { feedback: [one, one] })).status).toBe(200)

  expect(await kept(first['card'])).toHaveLength(2)
})

test('a clock that is ahead on the same day is forgiven', async () => {
  const one = accepted({ outcomeTimestamp: '2026-03-02T23:59:59Z' })

  expect((await tell(partner, { feedback: [one] })).status).toBe(200)
  expect(await kept(one['card'])).toHaveLength(1)
})

test('each client has its own, and a partner says nothing for another', async () => {
  const one = accepted()
  for (const who of [partner, other]) await tell(who, { feedback: [one] }, SIGN)

  expect(new Set((await kept(one['card'])).map(({ partner_id: id }) => id))).toEqual(
    new Set([partner.partnerId, other.partnerId]),
  )
})

test('it stands in the log with the card, in the transaction that keeps it', async () => {
  const one = overridden()
  await tell(partner, { feedback: [one] })
  const rows = await service.sql<{ record: string }>(
    "select record from audit_log where clinic_id = $1 and record like '%cds-feedback%'",
    [partner.clinicId],
  )
  const found = rows.filter(({ record }) => record.includes(String(one['card'])))

  expect(found).toHaveLength(1)
  expect(found[0]?.record).not.toContain('Musterkind')
})

test.each<[string, unknown, string]>([
  ['no list', {}, 'feedback'],
  ['an empty list', { feedback: [] }, 'feedback'],
  ['too many', { feedback: Array.from({ length: 101 }, () => accepted()) }, 'feedback'],
  ['a card that is no UUID', { feedback: [accepted({ card: '1' })] }, 'feedback.0.card'],
  ['another outcome', { feedback: [accepted({ outcome: 'ignored' })] }, 'feedback.0.outcome'],
  [
    'accepted without a suggestion',
    { feedback: [accepted({ acceptedSuggestions: undefined })] },
    'feedback.0.acceptedSuggestions',
  ],
  [
    'a time without its zone',
    { feedback: [accepted({ outcomeTimestamp: '2026-03-02T08:59:00' })] },
    'feedback.0.outcomeTimestamp',
  ],
  [
    // The clock of the test is at 2 March, 09:00 UTC: 14 hours further east it is still that day.
    'a day that it is nowhere on earth yet',
    { feedback: [overridden(), accepted({ outcomeTimestamp: '2026-03-03T00:00:00Z' })] },
    'feedback.1.outcomeTimestamp',
  ],
  [
    'a year that is far ahead',
    { feedback: [accepted({ outcomeTimestamp: '2030-01-01T00:00:00Z' })] },
    'feedback.0.outcomeTimestamp',
  ],
  [
    'a reason in words instead of a code',
    { feedback: [overridden({ overrideReason: { reason: { code: 'she said no' } } })] },
    'feedback.0.overrideReason.reason.code',
  ],
  ['null', { feedback: [overridden({ overrideReason: null })] }, 'feedback.0.overrideReason'],
])('%s is 400, and nothing of it is kept', async (_title, body, place) => {
  const before = await service.sql('select 1 from advice_feedback')
  const answer = await tell(partner, body)

  expect(answer.status, answer.text).toBe(400)
  expect(expressions(answer)).toContain(place)
  expect(await service.sql('select 1 from advice_feedback')).toHaveLength(before.length)
})

test('an administrator sees how often cards were accepted and overridden, and why; of no child', async () => {
  const clinic = await service.clinic()
  const { clinicId } = clinic.staff
  const scope = 'system/*.cruds admin'
  const administrator = await service.who({ clinicId, scope, clientId: 'advice-admin' })
  await tell(clinic.partner, { feedback: [accepted(), accepted(), overridden()] })
  await tell(clinic.partner, { feedback: [overridden()] }, SIGN)
  await tell(partner, { feedback: [accepted()] })
  const counted = async (query = '') =>
    (await service.send(administrator, { url: `/admin/advice${query}` })).json

  expect(await counted()).toEqual({
    outcomes: [
      {
        service: 'orthotic-referral-view',
        outcome: 'accepted',
        cards: 2,
        last: '2026-03-02T08:59:00.000Z',
      },
      ...['sign', 'view'].map((hook) => ({
        service: `orthotic-referral-${hook}`,
        outcome: 'overridden',
        reasonSystem: REASONS,
        reasonCode: 'family-declines',
        cards: 1,
        last: '2026-03-02T08:59:30.250Z',
      })),
    ],
  })
  expect(await counted('?start=2026-03-02&end=2026-03-03')).toEqual(await counted())
  for (const none of ['?start=2026-03-03', '?end=2026-03-02'])
    expect(await counted(none)).toEqual({ outcomes: [] })
  const wrong = await service.send(administrator, { url: '/admin/advice?start=yesterday' })
  expect(wrong.status).toBe(400)
  expect((await service.send(clinic.partner, { url: '/admin/advice' })).status).toBe(403)
})

test('nobody, and whoever may not send referrals, tells nothing', async () => {
  const { clinicId } = partner
  const reader = await service.who({ clinicId, scope: 'system/*.rs', clientId: 'a-reader' })
  const url = `${VIEW}/feedback`
  const body = { feedback: [accepted()] }

  expect((await service.send(undefined, { method: 'POST', url, body })).status).toBe(401)
  expect((await tell(reader, body)).status).toBe(403)
})
