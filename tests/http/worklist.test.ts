import { beforeAll, expect, test } from 'vitest'
import { bundleOf, changed, type Parts, smallReferral } from '../helpers/referral.ts'
import { changeOf, TO, underWay } from '../helpers/referrals-under-way.ts'
import {
  type Answer,
  bundle,
  linkOf,
  resource,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// The worklist: searches of Task by our own parameters, and who is next.

const URGENCY = 'https://footing.example/fhir/StructureDefinition/urgency-score'

let service: TestService
let staff: Who
let partner: Who
let other: Who

/** Key, urgency and day due of invented referrals, in no order. */
const REFERRALS: readonly (readonly [string, number, string])[] = [
  ['a', 12, '2026-05-01'],
  ['b', 71.5, '2026-03-20'],
  ['c', 40, '2026-04-10'],
  ['d', 71.5, '2026-03-09'],
  ['e', 40, '2026-04-02'],
]
/** The most urgent first, of these what is due first. */
const ORDER = ['d', 'b', 'e', 'c', 'a']
const tasks = new Map<string, string>()

beforeAll(async () => {
  service = await testService()
  const clinic = await service.clinic()
  staff = clinic.staff
  partner = clinic.partner
  other = clinic.other
  for (const [key, urgency, due] of REFERRALS) {
    const { task } = await underWay(service, key === 'c' ? other : partner, key)
    tasks.set(key, task)
    const answer = await changeOf(service, staff, task, {
      ...TO['received'],
      restriction: { period: { end: due } },
      extension: [{ url: URGENCY, valueDecimal: urgency }],
    })
    if (answer.status !== 200) throw new Error(answer.text)
  }
  return service.close
})

const find = (query: string, who = staff) => service.send(who, { url: `/fhir/Task?${query}` })
const keysOf = (answer: Answer): string[] =>
  resources(answer).flatMap(({ id }) =>
    [...tasks].flatMap(([key, place]) => (place === `Task/${String(id)}` ? [key] : [])),
  )
const SORTED = 'code=orthotic-referral&_sort=-urgency,due'

test('the worklist comes by urgency, then by the day due', async () => {
  expect(keysOf(await find(SORTED))).toEqual(ORDER)
})

test('its pages are those of the whole, whatever is changed meanwhile', async () => {
  const first = await find(`${SORTED}&_count=2`)
  const found = keysOf(first)
  await underWay(service, partner, 'later')

  let next = linkOf(first, 'next')
  for (let page = 0; next !== undefined && page < 9; page += 1) {
    const url = next.replace(/^https?:\/\/[^/]+/, '')
    const answer = await service.send(staff, { url })
    found.push(...keysOf(answer))
    next = linkOf(answer, 'next')
  }

  expect(found).toEqual(ORDER)
})

test.each([
  ['what is overdue', 'due=lt2026-03-21', ['d', 'b']],
  ['what is urgent', 'urgency=ge40', ['d', 'b', 'e', 'c']],
  ['where it stands', 'business-status=in-triage', ORDER],
  ['where it stands, as others call it', 'business-status=2.0&urgency=gt70', ['d', 'b']],
  ['what nobody has', 'business-status=accepted', []],
])('it is narrowed by %s: %s', async (_what, query, expected) => {
  expect(keysOf(await find(`${SORTED}&${query}`))).toEqual(expected)
})

test('a partner sees its own part of it, in the same order', async () => {
  expect(keysOf(await find(SORTED, other))).toEqual(['c'])
  expect(keysOf(await find(SORTED, partner))).toEqual(['d', 'b', 'e', 'a'])
})

test('our parameters are published, and the CapabilityStatement names their definitions', async () => {
  const metadata = resource(await service.send(undefined, { url: '/fhir/metadata' }))
  const text = JSON.stringify(metadata)

  for (const id of ['Task-urgency', 'Task-due', 'Task-reason']) {
    const answer = await service.send(undefined, { url: `/fhir/SearchParameter/${id}` })
    expect([answer.status, resource(answer)['base']]).toEqual([200, ['Task']])
    expect(text).toContain(`"https://footing.example/fhir/SearchParameter/${id}"`)
  }
})

const next = (who: Who | undefined) => service.send(who, { url: '/fhir/Task/$next' })

test('$next is the most urgent that waits for the clinic, with its patient and why', async () => {
  const answer = await next(staff)
  const types = resources(answer).map(({ resourceType }) => String(resourceType))

  expect(answer.status).toBe(200)
  expect(keysOf(answer)).toEqual(['d'])
  expect(types.toSorted((a, b) => a.localeCompare(b))).toEqual([
    'Observation',
    'Observation',
    'Patient',
    'ServiceRequest',
    'Task',
  ])
  expect(bundle(answer)).toMatchObject({ type: 'searchset', total: 5 })
})

test('$next goes on when a day is set', async () => {
  const task = tasks.get('d') ?? ''
  for (const step of ['accepted', 'scheduled'])
    expect((await changeOf(service, staff, task, TO[step] ?? {})).status).toBe(200)

  const answer = await next(staff)

  expect(keysOf(answer)).toEqual(['b'])
})

test('a clinic of which nobody waits has nobody next', async () => {
  const { staff: elsewhere } = await service.clinic()

  const answer = await next(elsewhere)

  expect(bundle(answer)).toMatchObject({ type: 'searchset', total: 0 })
  expect(resources(answer)).toEqual([])
})

test('$next is for staff: a partner is told where it finds its own, nobody is let in', async () => {
  const narrow = await service.who({
    clinicId: staff.clinicId,
    clientId: 'narrow',
    scope: 'system/Goal.rs',
  })

  const refused = await next(partner)
  expect(refused.status).toBe(403)
  expect(refused.text).toContain('Task?code=orthotic-referral')
  expect((await next(narrow)).status).toBe(403)
  expect((await next(undefined)).status).toBe(401)
})

test('a triage gives the Task its score and its day', async () => {
  const { task } = await underWay(service, partner, 'scored')
  const kept = resource(await service.send(staff, { url: `/fhir/${task}` }))

  expect(kept['extension']).toEqual([{ url: URGENCY, valueDecimal: expect.any(Number) as number }])
  expect(kept['restriction']).toEqual({ period: { end: expect.any(String) as string } })
})

test('a draft is on no worklist', async () => {
  const draft = (parts: Parts, name: string): Parts => changed(parts, name, { status: 'draft' })
  const parts = draft(draft(smallReferral({ key: 'draft' }), 'task'), 'referral')
  const before = bundle(await next(staff)).total

  const answer = await service.send(partner, {
    method: 'POST',
    url: '/fhir',
    body: bundleOf(parts),
  })

  expect(answer.status).toBe(200)
  expect(bundle(await next(staff)).total).toBe(before)
})
