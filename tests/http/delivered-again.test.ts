import { beforeAll, expect, test } from 'vitest'
import { Dice } from '../helpers/any-request.ts'
import {
  type Answer,
  keptOnce,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// Deliveries that come several times and at once, and changes that meet: what was done is done once, and its
// history tells it without a gap.

let service: TestService
let staff: Who

beforeAll(async () => {
  service = await testService()
  staff = (await service.clinic()).staff
  return service.close
})

const TRANSACTIONS = 1_000
const AT_ONCE = 24
const SYSTEM = 'https://practice.example/deliveries'

const delivery = (index: number) => ({
  resourceType: 'Bundle',
  type: 'transaction',
  entry: [
    {
      request: { method: 'POST', url: 'Organization' },
      resource: {
        resourceType: 'Organization',
        identifier: [{ system: SYSTEM, value: String(index) }],
        name: 'An invented practice',
      },
    },
  ],
})

test('1,000 transactions, each delivered one to five times in any order, are applied once each', async () => {
  const dice = new Dice(71)
  const deliveries = Array.from({ length: TRANSACTIONS }, (_, index) => index)
    .flatMap((index) => Array.from({ length: 1 + dice.below(5) }, () => index))
    .map((index) => ({ index, at: dice.below(1_000_000) }))
    .toSorted((a, b) => a.at - b.at)
  const answers = new Map<number, Answer[]>()
  const next = deliveries.values()
  const deliver = async (): Promise<void> => {
    for (const { index } of next) {
      const answer = await service.send(staff, {
        method: 'POST',
        url: '/fhir',
        body: delivery(index),
        headers: { 'idempotency-key': `delivery-${index}` },
      })
      answers.set(index, [...(answers.get(index) ?? []), answer])
    }
  }
  await Promise.all(Array.from({ length: AT_ONCE }, deliver))

  const [row] = await service.sql<{ all: number; different: number }>(
    `select count(*)::int as all, count(distinct code)::int as different from index_tokens where system = $1`,
    [SYSTEM],
  )
  expect(row).toEqual({ all: TRANSACTIONS, different: TRANSACTIONS })
  for (const [index, each] of answers) {
    expect([...new Set(each.map(({ status }) => status))], `delivery ${index}`).toEqual([200])
    expect(new Set(each.map(({ text }) => text)).size, `delivery ${index}`).toBe(1)
  }
  expect([...answers.values()].flat().length).toBe(deliveries.length)
}, 240_000)

test('of changes that meet none is lost, and versions are 1 to n without a gap or a repeat', async () => {
  const made = await Promise.all(
    [0, 1, 2].map(async (index) => {
      const { resource } = delivery(5_000 + index).entry[0] ?? {}
      const answer = await service.send(staff, {
        method: 'POST',
        url: '/fhir/Organization',
        body: resource,
      })
      return { id: keptOnce(answer), resource }
    }),
  )
  const changes = made.flatMap(({ id, resource }) =>
    Array.from({ length: 40 }, (_, round) =>
      service.send(staff, {
        method: 'PUT',
        url: `/fhir/Organization/${id}`,
        body: { ...resource, id, name: `An invented practice, ${round}` },
      }),
    ),
  )
  const answers = await Promise.all(changes)

  expect([...new Set(answers.map(({ status }) => status))]).toEqual([200])
  for (const { id } of made) {
    const versions = await service.sql<{ version: number; body: string }>(
      `select version, body from resource_versions where type = 'Organization' and id = $1 order by version`,
      [id],
    )
    expect(versions.map(({ version }) => version)).toEqual(
      Array.from({ length: 41 }, (_, index) => index + 1),
    )
    const names = versions.slice(1).map(({ body }) => /practice, (\d+)/.exec(body)?.[1])
    expect(new Set(names).size).toBe(40)
  }
})
