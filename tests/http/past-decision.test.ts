import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { openService } from '../../src/service.ts'
import { type Json, observed, referralParts, type Parts } from '../helpers/referral.ts'
import { type InventedRules, ruleSetLibrary } from '../helpers/rule-sets.ts'
import {
  type Answer,
  expressions,
  issues,
  keptAs,
  ORIGIN,
  resource,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

let service: TestService
let staff: Who
let partner: Who

const DAY_MS = 86_400_000
const SCOPE = 'system/*.crus'

beforeAll(async () => {
  service = await testService()
  const clinic = await service.clinic()
  staff = await service.who({ ...clinic.staff, scope: SCOPE })
  partner = clinic.partner
  return service.close
})

/** Time passes, and tokens are asked for anew. */
async function later(days = 1): Promise<void> {
  service.clock.advance(days * DAY_MS)
  staff = await service.who({ ...staff, scope: SCOPE })
  partner = await service.who(partner)
}

async function stored(invented: InventedRules): Promise<Json> {
  const body = ruleSetLibrary(invented)
  const answer = await service.send(staff, { method: 'POST', url: '/fhir/Library', body })
  expect(answer.status, answer.text).toBe(201)
  return resource(answer)
}
async function moved(library: Json, status: string): Promise<void> {
  const url = `/fhir/Library/${String(library['id'])}`
  const now = await service.send(staff, { url })
  const answer = await service.send(staff, {
    method: 'PUT',
    url,
    body: { ...resource(now), status },
    headers: { 'if-match': String(now.headers['etag']) },
  })
  expect(answer.status, answer.text).toBe(200)
}

async function referred(parts: Parts) {
  const sent = await service.refer(partner, parts)
  const referral = keptAs(sent, parts, 'referral')
  const patient = keptAs(sent, parts, 'patient')
  const triage = (query: Readonly<Record<string, string>> = {}, body?: Json, who = partner) =>
    service.send(who, {
      method: 'POST',
      url: `/fhir/${referral}/$triage?${new URLSearchParams(query).toString()}`,
      ...(body === undefined ? {} : { body }),
    })
  const task = () => service.send(partner, { url: `/fhir/${keptAs(sent, parts, 'task')}` })
  const observe = async (code: string, value: Json, on: string) => {
    const body = { ...observed(code, on, value), subject: { reference: patient } }
    const answer = await service.send(partner, { method: 'POST', url: '/fhir/Observation', body })
    expect(answer.status, answer.text).toBe(201)
  }
  return { referral, triage, task, observe }
}

const Decision = z.object({
  resourceType: z.literal('Provenance'),
  occurredDateTime: z.string(),
  recorded: z.string(),
  entity: z.array(
    z.object({ what: z.object({ identifier: z.object({ value: z.string() }).optional() }) }),
  ),
})

/** Day, rule set and instant of a decision, as its Provenance names them. */
function named(decision: Answer): { asOf: string; ruleset: string; knownAt: string } {
  const [provenance] = resources(decision).flatMap((one) => {
    const read = Decision.safeParse(one)
    return read.success ? [read.data] : []
  })
  if (provenance === undefined) throw new Error('The decision has no Provenance')
  const [, ruleSet = ''] =
    /^rule-set\/(.*)$/.exec(provenance.entity[0]?.what.identifier?.value ?? '') ?? []
  return {
    asOf: provenance.occurredDateTime,
    ruleset: ruleSet.replace('/', '|'),
    knownAt: provenance.recorded,
  }
}

/** The stored answer without the Task, which stands last and is no finding. */
const findingsOf = ({ text }: Answer): string =>
  text.replace(/,\{"fullUrl":"[^"]*\/Task\/.*$/s, ']}')

const versions = async (): Promise<number> => {
  const rows = await service.sql<{ count: number }>(
    `select count(*)::int as count from resource_versions where type <> 'AuditEvent'`,
  )
  return rows[0]?.count ?? 0
}

test('a stored decision is repeated byte by byte after new facts and another rule set', async () => {
  const { triage, task, observe } = await referred(referralParts({ key: 'past' }))
  const decided = await triage()
  const { ruleset, ...when } = named(decided)
  await later()
  await observe('open-skin', { valueBoolean: true, bodySite: side('left') }, '2026-03-03')
  await moved(await stored({ version: 'past.1', values: { 'urgency.urgentFrom': 5 } }), 'active')
  await later()
  const today = await triage()
  const before = [await versions(), (await task()).text]

  const repeated = await triage({ ruleset, ...when })

  expect(ruleset).toBe('footing-default|2026.1')
  expect(named(today).ruleset).toBe('invented-clinic|past.1')
  expect(today.text).not.toBe(decided.text)
  expect(repeated.text).toBe(findingsOf(decided))
  expect([await versions(), (await task()).text]).toEqual(before)
})

test('the instant alone takes the rule set that was in force then', async () => {
  const { triage } = await referred(referralParts({ key: 'instant' }))
  const decided = await triage()
  await later()
  const next = await stored({ version: 'instant.2' })
  await moved(next, 'active')
  const knownAt = named(decided).knownAt

  const repeated = await triage({ knownAt })

  expect(named(decided).ruleset).not.toBe('invented-clinic|instant.2')
  expect(repeated.text).toBe(findingsOf(decided))
})

test('a decision under a rule set that has retired is repeated, by its version too', async () => {
  await moved(await stored({ version: 'retiring.1' }), 'active')
  await later()
  const { triage } = await referred(referralParts({ key: 'retired' }))
  const decided = await triage()
  const { asOf, knownAt } = named(decided)
  await later()
  await moved(await stored({ version: 'retiring.2' }), 'active')

  const repeated = await triage({ ruleset: 'retiring.1', asOf, knownAt })

  expect(named(decided).ruleset).toBe('invented-clinic|retiring.1')
  expect(repeated.text).toBe(findingsOf(decided))
})

test('what was corrected later counts as it was known then', async () => {
  const { triage, observe } = await referred(referralParts({ key: 'known' }))
  const decided = await triage()
  const { asOf, knownAt } = named(decided)
  await later()
  // Sent a day later, about the day before.
  await observe('open-skin', { valueBoolean: true, bodySite: side('left') }, '2026-03-01')

  const now = await triage({ asOf })
  const then = await triage({ asOf, knownAt })

  expect(now.text).not.toBe(decided.text)
  expect(then.text).toBe(findingsOf(decided))
})

test('under a draft the answer is returned to staff only, and nothing is stored', async () => {
  const { triage, task } = await referred(referralParts({ key: 'draft' }))
  await stored({ version: 'draft.1', values: { 'urgency.asapDays': 3, 'urgency.urgentDays': 9 } })
  await triage()
  const before = [await versions(), (await task()).text]

  const asked = await triage({ ruleset: 'invented-clinic|draft.1' }, undefined, staff)
  const inBody = await triage(
    {},
    {
      resourceType: 'Parameters',
      parameter: [{ name: 'ruleset', valueString: 'draft.1' }],
    },
    staff,
  )
  const ofPartner = await triage({ ruleset: 'draft.1' })
  const ofNone = await triage({ ruleset: 'none.1' })

  expect(named(asked).ruleset).toBe('invented-clinic|draft.1')
  expect(inBody.text).toBe(asked.text)
  expect(ofPartner.status).toBe(400)
  expect(ofPartner.text).toBe(ofNone.text)
  expect([await versions(), (await task()).text]).toEqual(before)
})

test('the fitting plan can be asked for under another rule set too', async () => {
  const { referral } = await referred(referralParts({ key: 'plan' }))
  await stored({ version: 'plan.1', values: { 'fitting.followUpWeeks': [3, 9] } })
  const plan = (query: string) =>
    service.send(staff, { url: `/fhir/${referral}/$fitting-plan${query}` })

  const [usual, other] = [await plan(''), await plan('?ruleset=plan.1')]

  expect([usual.status, other.status]).toEqual([200, 200])
  expect(other.text).not.toBe(usual.text)
})

test.each([
  ['a rule set that is none', { ruleset: 'nowhere' }, 'http.ruleset', 'not-found'],
  ['a rule set in another form', { ruleset: 'a|b|c' }, 'http.ruleset', 'value'],
  ['no rule set at all', { ruleset: '' }, 'http.ruleset', 'value'],
  ['a day that is none', { asOf: '2026-02-30' }, 'http.asOf', 'value'],
  ['an instant without a zone', { knownAt: '2026-03-02T09:00:00' }, 'http.knownAt', 'value'],
  ['a day as instant', { knownAt: '2026-03-02' }, 'http.knownAt', 'value'],
  ['an instant to come', { knownAt: '2127-01-01T00:00:00Z' }, 'http.knownAt', 'value'],
  [
    'an instant before the referral',
    { knownAt: '2026-03-02T08:59:59.999Z' },
    'http.knownAt',
    'not-found',
  ],
])('%s is refused by its name', async (what, query, expression, code) => {
  const { triage } = await referred(referralParts({ key: `bad-${what.replaceAll(' ', '-')}` }))

  const answer = await triage(query)

  expect(answer.status).toBe(400)
  expect(expressions(answer)).toEqual([expression])
  expect(issues(answer)[0]?.code).toBe(code)
})

test('in a body the fault is at its parameter, and all are named at once', async () => {
  const { triage } = await referred(referralParts({ key: 'body' }))

  const answer = await triage(
    {},
    {
      resourceType: 'Parameters',
      parameter: [
        { name: 'knownAt', valueInstant: 'yesterday' },
        { name: 'ruleset', valueInteger: 1 },
      ],
    },
  )

  expect(answer.status).toBe(400)
  expect(expressions(answer)).toEqual([
    "Parameters.parameter.where(name='ruleset').value",
    "Parameters.parameter.where(name='knownAt').value",
  ])
})

test('a version that two rule sets have is asked for with the id', async () => {
  const { triage } = await referred(referralParts({ key: 'both' }))
  for (const id of ['one', 'other']) await stored({ id, version: 'both.1' })

  const answer = await triage({ ruleset: 'both.1' }, undefined, staff)
  const one = await triage({ ruleset: 'one|both.1' }, undefined, staff)

  expect([answer.status, issues(answer)[0]?.code]).toEqual([400, 'multiple-matches'])
  expect(named(one).ruleset).toBe('one|both.1')
})

test('an instant is understood in any zone', async () => {
  const { triage } = await referred(referralParts({ key: 'zone' }))
  const decided = await triage()
  const { knownAt } = named(decided)
  const inZone = new Date(Date.parse(knownAt) + 2 * 3_600_000).toISOString().replace('Z', '+02:00')
  await later()

  expect((await triage({ knownAt: inZone })).text).toBe(findingsOf(decided))
})

test('another process decides under a rule set from the moment that it is active', async () => {
  const other = await openService({
    databaseUrl: service.url,
    origin: ORIGIN,
    tokenIssuer: undefined,
    tokenLifetimeSeconds: 3_600,
    poolSize: 2,
    statementTimeoutMs: 10_000,
    answerLanguage: 'en',
    now: service.service.context.now,
  })
  const { referral } = await referred(referralParts({ key: 'process' }))
  const there = async () => {
    const url = `/fhir/${referral}/$triage`
    const headers = { authorization: `Bearer ${staff.token}` }
    const { body } = await other.app.inject({ method: 'POST', url, headers })
    return /rule-set\/invented-clinic\/(process\.\d)/.exec(body)?.[1]
  }
  const found: unknown[] = []
  for (const version of ['process.1', 'process.2']) {
    await moved(await stored({ version }), 'active')
    found.push(await there())
  }
  await other.close()

  expect(found).toEqual(['process.1', 'process.2'])
})

function side(which: 'left' | 'right'): Json {
  const system = 'https://footing.example/fhir/CodeSystem/side'
  return { coding: [{ system, code: `${which}-foot` }] }
}
