import { beforeAll, expect, test } from 'vitest'
import { reindex } from '../../src/services/reindex.ts'
import { changeOf, TO, underWay } from '../helpers/referrals-under-way.ts'
import {
  type Answer,
  BASE,
  expressions,
  linkOf,
  resource,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'
import { registerClinic } from '../helpers/staff-pages.ts'

// The referral Tasks of one partner, for the staff of the clinic, in one call: our search parameter `partner`, as R4
// 3.1.1.4 lets a server define its own.

const URGENCY = 'https://footing.example/fhir/StructureDefinition/urgency-score'
const SYSTEM = 'https://footing.example/fhir/NamingSystem/partner'
const SORTED = 'code=orthotic-referral&_sort=-urgency,due'

let service: TestService
let staff: Who
let partner: Who
let other: Who
const tasks = new Map<string, string>()

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner, other } = await service.clinic())
  for (const [key, who, urgency] of [
    ['a', partner, 12],
    ['b', other, 80],
    ['c', partner, 60],
    ['d', other, 30],
    ['e', partner, 40],
  ] as const) {
    const { task } = await underWay(service, who, key)
    tasks.set(key, task)
    const extension = [{ url: URGENCY, valueDecimal: urgency }]
    const answer = await changeOf(service, staff, task, { ...TO['received'], extension })
    if (answer.status !== 200) throw new Error(answer.text)
  }
  return service.close
})

const find = (query: string, who = staff) => service.send(who, { url: `/fhir/Task?${query}` })
const keysOf = (answer: Answer): string[] =>
  resources(answer).flatMap(({ id }) =>
    [...tasks].flatMap(([key, place]) => (place === `Task/${String(id)}` ? [key] : [])),
  )
const idOf = ({ partnerId = '' }: Who): string => partnerId

test('all referrals of one partner come by urgency, with one call', async () => {
  expect(keysOf(await find(`${SORTED}&partner=${idOf(partner)}`))).toEqual(['c', 'e', 'a'])
  expect(keysOf(await find(`${SORTED}&partner=${SYSTEM}|${idOf(other)}`))).toEqual(['b', 'd'])
})

test('what staff change stays the partner’s, and further pages are narrowed too', async () => {
  const first = await find(`${SORTED}&partner=${idOf(partner)}&_count=2`)
  const url = linkOf(first, 'next')?.replace(/^https?:\/\/[^/]+/, '') ?? ''
  const next = await service.send(staff, { url })

  expect([...keysOf(first), ...keysOf(next)]).toEqual(['c', 'e', 'a'])
})

test('several, none of them, and what is nobody’s', async () => {
  const both = await find(`${SORTED}&partner=${idOf(partner)},${idOf(other)}`)
  const not = await find(`${SORTED}&partner:not=${idOf(partner)}`)
  const made = await service.send(staff, {
    method: 'POST',
    url: '/fhir/Task',
    body: { resourceType: 'Task', status: 'draft', intent: 'order', description: 'Our own.' },
  })
  const nobodys = resources(await find('partner:missing=true')).map(({ id }) => id)

  expect(keysOf(both)).toEqual(['b', 'c', 'e', 'd', 'a'])
  expect(keysOf(not)).toEqual(['b', 'd'])
  expect(nobodys).toEqual([resource(made)['id']])
})

test('a partner finds its own, and nothing by the id of another or by one that there is not', async () => {
  const own = await find(`${SORTED}&partner=${idOf(other)}`, other)
  const foreign = await find(`partner=${idOf(partner)}`, other)
  const nobody = await find('partner=00000000-0000-4000-8000-000000000000', other)

  expect(keysOf(own)).toEqual(['b', 'd'])
  expect([foreign.status, resources(foreign)]).toEqual([200, []])
  expect([nobody.status, resources(nobody)]).toEqual([200, []])
})

test('it is published, with no expression: no element says whose a Task is', async () => {
  const answer = await service.send(undefined, { url: '/fhir/SearchParameter/Task-partner' })
  const metadata = await service.send(undefined, { url: '/fhir/metadata' })

  expect(resource(answer)).toMatchObject({ base: ['Task'], code: 'partner', type: 'token' })
  expect(resource(answer)).not.toHaveProperty('expression')
  expect(metadata.text).toContain('"https://footing.example/fhir/SearchParameter/Task-partner"')
})

test('what came in before there was this parameter is found once the index is written anew', async () => {
  const { clinicId } = staff
  await registerClinic(service, clinicId)
  await service.sql(`delete from index_tokens where clinic_id = $1 and path = 'partner'`, [
    clinicId,
  ])
  await service.sql(`update index_states set signature = 'before' where clinic_id = $1`, [clinicId])
  expect(keysOf(await find(`partner=${idOf(partner)}`))).toEqual([])

  await reindex(service.service.context.db, BASE)

  expect(keysOf(await find(`${SORTED}&partner=${idOf(partner)}`))).toEqual(['c', 'e', 'a'])
})

test('an export is not narrowed by it: its lines do not say whose they are', async () => {
  const filter = encodeURIComponent(`Task?partner=${idOf(partner)}`)
  const answer = await service.send(staff, {
    url: `/fhir/$export?_type=Task&_typeFilter=${filter}`,
    headers: { prefer: 'respond-async' },
  })

  expect([answer.status, expressions(answer)]).toEqual([400, ['http._typeFilter']])
})

test('which partners there are is told to staff who search Tasks, and to nobody else', async () => {
  const { clinicId } = staff
  const list = (who: Who | undefined) => service.send(who, { url: '/admin/partners' })
  const reader = await service.who({ clinicId, scope: 'system/Task.s', clientId: 'reads-tasks' })
  const narrow = await service.who({ clinicId, scope: 'system/Goal.rs', clientId: 'reads-goals' })
  const { staff: elsewhere } = await service.clinic()

  const told = (await list(reader)).text
  expect([told.includes(idOf(partner)), told.includes(idOf(other))]).toEqual([true, true])
  expect((await list(narrow)).status).toBe(403)
  expect((await list(partner)).status).toBe(403)
  expect((await list(undefined)).status).toBe(401)
  expect((await list(elsewhere)).text).not.toContain(idOf(partner))
})
