import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { chartOf, size, THREE_SIZES } from '../helpers/plans.ts'
import { coded, observed, quantity, referralParts } from '../helpers/referral.ts'
import {
  expressions,
  keptAs,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'
import { chartBundle } from '../helpers/size-charts.ts'

// The invented child of the referral has two feet of 138 mm.

let service: TestService
beforeAll(async () => {
  service = await testService()
})
afterAll(() => service.close())

const EXAMPLE: unknown = JSON.parse(
  readFileSync(new URL('../../seeds/clinic/size-chart.json', import.meta.url), 'utf8'),
)

async function sendChart(who: Who, chart: unknown): Promise<number> {
  service.clock.advance(60_000)
  return (await service.send(who, { method: 'POST', url: '/fhir', body: chart })).status
}

async function referred(who: Who, key: string): Promise<string> {
  const parts = referralParts({ key })
  return keptAs(await service.refer(who, parts), parts, 'referral')
}
const triage = (who: Who, referral: string, query = '') =>
  service.send(who, { method: 'POST', url: `/fhir/${referral}/$triage${query}` })

const Sized = z.object({
  code: z.object({ coding: z.array(z.object({ code: z.string() })) }),
  valueString: z.string().optional(),
})
/** Size of each foot with the chart it is of, as the findings say it. */
const sizesIn = (answer: Parameters<typeof resources>[0]): (string | undefined)[] =>
  resources(answer).flatMap((one) => {
    const sized = Sized.safeParse(one)
    const isSize = sized.success && sized.data.code.coding[0]?.code === 'device-size'
    return isSize ? [sized.data.valueString] : []
  })
const rows = async () => {
  const [row] = await service.sql<{ count: number }>(
    `select count(*)::int as count from resource_versions where type <> 'AuditEvent'`,
  )
  return row?.count ?? 0
}

test('after its clinic has sent a chart, a child gets sizes of that chart', async () => {
  const { staff, partner } = await service.clinic()
  const referral = await referred(partner, 'before')
  const before = await triage(partner, referral)

  expect(await sendChart(staff, EXAMPLE)).toBe(200)
  const after = await triage(partner, referral)
  const later = await triage(partner, await referred(partner, 'after'))

  expect(sizesIn(before)).toEqual(['G6 (generic 2026.1)', 'G6 (generic 2026.1)'])
  // 132 to 144 mm: 6 mm are left to grow.
  expect(sizesIn(after)).toEqual(['E5 (example-chart 1)', 'E5 (example-chart 1)'])
  expect(sizesIn(later)).toEqual(sizesIn(after))
  expect(after.text).toContain('"value":"size-chart/example-chart/1"')
})

test('a partner that sees no chart is answered by the chart of the clinic, from the first referral on', async () => {
  const { staff, partner } = await service.clinic()
  await sendChart(staff, EXAMPLE)
  const parts = referralParts({ key: 'first' })

  const sent = await service.refer(partner, parts)

  const patient = keptAs(sent, parts, 'patient')
  const stored = await service.send(partner, {
    url: `/fhir/Observation?patient=${patient}&code=device-size`,
  })
  expect(sizesIn(stored)).toEqual(['E5 (example-chart 1)', 'E5 (example-chart 1)'])
})

test('a faulty chart changes nothing for the children', async () => {
  const { staff, partner } = await service.clinic()
  const referral = await referred(partner, 'faulty')
  const before = await triage(partner, referral)
  const stored = await rows()

  const faulty = chartOf(size({ footLength: { min: 140, max: 130 } }))
  expect(await sendChart(staff, chartBundle(faulty))).toBe(422)

  expect(await rows()).toBe(stored)
  expect((await triage(partner, referral)).text).toBe(before.text)
})

test('the chart of one clinic is not the chart of another', async () => {
  const ours = await service.clinic()
  const theirs = await service.clinic()
  await sendChart(ours.staff, EXAMPLE)

  const found = await triage(theirs.partner, await referred(theirs.partner, 'theirs'))

  expect(sizesIn(found)).toEqual(['G6 (generic 2026.1)', 'G6 (generic 2026.1)'])
})

test('to go back, the earlier sizes are sent again as a new version', async () => {
  const { staff, partner } = await service.clinic()
  const referral = await referred(partner, 'back')
  await sendChart(staff, chartBundle(THREE_SIZES))
  const first = await triage(partner, referral)
  await sendChart(staff, EXAMPLE)
  await sendChart(staff, chartBundle({ ...THREE_SIZES, version: '2' }))

  const again = await triage(partner, referral)

  // C is 130 to 140 mm: 2 mm left is under the reserve of 3, but no larger size is there.
  expect(sizesIn(first)).toEqual(['C (invented 1)', 'C (invented 1)'])
  expect(sizesIn(again)).toEqual(['C (invented 2)', 'C (invented 2)'])
})

test('something new about the child is sized by the chart in force', async () => {
  const { staff, partner } = await service.clinic()
  const parts = referralParts({ key: 'news' })
  const sent = await service.refer(partner, parts)
  const [patient, referral] = [keptAs(sent, parts, 'patient'), keptAs(sent, parts, 'referral')]
  await sendChart(staff, EXAMPLE)

  const body = {
    ...observed('foot-length', '2026-03-02', quantity(146, 'mm')),
    bodySite: coded('side', 'left-foot'),
    method: coded('method', 'weight-bearing'),
    subject: { reference: patient },
  }
  const created = await service.send(partner, {
    method: 'POST',
    url: '/fhir/Observation',
    body,
  })

  expect(created.status).toBe(201)
  expect(new Set(sizesIn(await triage(partner, referral)))).toEqual(
    new Set(['E6 (example-chart 1)', 'E5 (example-chart 1)']),
  )
})

test('by another chart the answer is returned only, the same each time, and nothing is stored', async () => {
  const { staff, partner } = await service.clinic()
  await sendChart(staff, chartBundle(THREE_SIZES))
  await sendChart(staff, EXAMPLE)
  const referral = await referred(partner, 'asked')
  const before = await rows()

  const older = await triage(partner, referral, '?chart=invented%7C1')
  const generic = await triage(partner, referral, '?chart=generic%7C2026.1')
  const again = await triage(partner, referral, '?chart=invented%7C1')

  expect(sizesIn(older)).toEqual(['C (invented 1)', 'C (invented 1)'])
  expect(sizesIn(generic)).toEqual(['G6 (generic 2026.1)', 'G6 (generic 2026.1)'])
  expect(again.text).toBe(older.text)
  expect(await rows()).toBe(before)
  for (const one of resources(older))
    expect(
      (
        await service.send(partner, {
          url: `/fhir/${String(one['resourceType'])}/${String(one['id'])}`,
        })
      ).status,
    ).toBe(404)
})

test('by the chart that is in force, asked for by name, the answer is the stored one', async () => {
  const { staff, partner } = await service.clinic()
  await sendChart(staff, EXAMPLE)
  const referral = await referred(partner, 'named')

  const named = await triage(partner, referral, '?chart=example-chart%7C1')

  expect(named.text).toBe((await triage(partner, referral)).text)
})

test('a chart that the clinic does not have is refused', async () => {
  const { partner } = await service.clinic()
  const referral = await referred(partner, 'unknown')

  for (const chart of ['example-chart%7C1', 'example-chart', 'a%00%7C1', '']) {
    const answer = await triage(partner, referral, `?chart=${chart}`)
    expect([answer.status, expressions(answer)], chart).toEqual([400, ['http.chart']])
  }
})
