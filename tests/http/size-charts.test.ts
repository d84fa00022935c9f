import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import type { SizeChart } from '../../src/domain/device/sizing.ts'
import { validateResource } from '../../src/fhir/validate.ts'
import { chartOf, size, THREE_SIZES } from '../helpers/plans.ts'
import type { Json } from '../helpers/referral.ts'
import {
  expressions,
  issues,
  kept,
  resource,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'
import { chartBundle } from '../helpers/size-charts.ts'

let service: TestService
beforeAll(async () => {
  service = await testService()
})
afterAll(() => service.close())

const post = (who: Who, body: unknown, headers: Record<string, string> = {}) =>
  service.send(who, { method: 'POST', url: '/fhir', body, headers })
const sendChart = (who: Who, chart: SizeChart) => post(who, chartBundle(chart))
const stored = async ({ clinicId }: Who): Promise<number> => {
  const [row] = await service.sql<{ count: number }>(
    "select count(*)::int as count from resources where clinic_id = $1 and type = 'DeviceDefinition'",
    [clinicId],
  )
  return row?.count ?? 0
}

const EXAMPLE: unknown = JSON.parse(
  readFileSync(new URL('../../seeds/clinic/size-chart.json', import.meta.url), 'utf8'),
)

test('the example chart of the seeds is valid R4, says that it is invented, and is taken', async () => {
  const { staff } = await service.clinic()

  const answer = await post(staff, EXAMPLE)

  expect(validateResource(EXAMPLE)).toEqual([])
  expect(answer.status).toBe(200)
  expect(await stored(staff)).toBe(9)
  const [line = ''] = kept(answer)
  const read = await service.send(staff, { url: `/fhir/${line}` })
  expect(read.text).toContain('Invented: no device is made to these sizes')
  const versions = await service.send(staff, { url: `/fhir/${line}/_history/1` })
  expect(versions.text).toBe(read.text)
})

test('a chart is found by identifier and type, its sizes by their parent', async () => {
  const { staff } = await service.clinic()
  const [line = ''] = kept(await sendChart(staff, THREE_SIZES))
  const search = async (query: string) =>
    resources(await service.send(staff, { url: `/fhir/DeviceDefinition?${query}` }))
  const id = line.replace('DeviceDefinition/', '')

  const byIdentifier = await search(
    `identifier=${encodeURIComponent('https://footing.example/fhir/NamingSystem/size-chart|invented')}`,
  )
  const byType = await search('type=supramalleolar-orthosis')
  const sizes = await search(`parent=${line}`)

  expect([byIdentifier, byType].map((found) => found.map((one) => one['id']))).toEqual([[id], [id]])
  expect(new Set(sizes.map((one) => one['modelNumber']))).toEqual(new Set(['A', 'B', 'C']))
  for (const one of sizes) expect(one['parentDevice']).toEqual({ reference: line })
})

test('a faulty chart stores nothing, and every fault names its row and place', async () => {
  const { staff } = await service.clinic()
  const faulty = chartOf(
    size({ code: 'A', footLength: { min: 110, max: 118 }, medialPlate: 88, lateralPlate: 91 }),
    size({ ankleCircumference: { min: 160, max: 115 } }),
    size({ code: 'C', footLength: { min: 129, max: 140 } }),
  )

  const answer = await sendChart(staff, faulty)

  expect(answer.status).toBe(422)
  expect(
    issues(answer).map(({ expression, details }) => [expression?.[0], details.text.slice(0, 33)]),
  ).toEqual([
    ['Bundle.entry[2].resource.property[2]', 'B: ankle circumference from 160 t'],
    ['Bundle.entry[3].resource.property[0]', 'C: foot length starts at 129 mm, '],
    ['Bundle.entry[2].resource.property[0]', 'B: foot length starts at 120 mm, '],
  ])
  expect(await stored(staff)).toBe(0)
})

test('a size without one of its dimensions is refused, at its entry', async () => {
  const { staff } = await service.clinic()
  const { entry, ...bundle } = chartBundle(THREE_SIZES)
  const Size = z.looseObject({ resource: z.looseObject({ property: z.array(z.unknown()) }) })
  const changed = entry.map((one, index) => {
    if (index !== 2) return one
    const { resource: device, ...rest } = Size.parse(one)
    return { ...rest, resource: { ...device, property: device.property.slice(1) } }
  })

  const answer = await post(staff, { ...bundle, entry: changed })

  expect([answer.status, expressions(answer)]).toEqual([422, ['Bundle.entry[2].resource.property']])
  expect(issues(answer)[0]?.details.text).toMatch(/^B: foot length is missing; it is the property/)
  expect(await stored(staff)).toBe(0)
})

test('a DeviceDefinition alone is refused, and told what would be right', async () => {
  const { staff } = await service.clinic()
  const { entry } = chartBundle(THREE_SIZES)
  const line = z.looseObject({ resource: z.unknown() }).parse(entry[0]).resource

  const answer = await service.send(staff, {
    method: 'POST',
    url: '/fhir/DeviceDefinition',
    body: line,
  })

  const inBatch = await post(staff, {
    resourceType: 'Bundle',
    type: 'batch',
    entry: [{ resource: line, request: { method: 'POST', url: 'DeviceDefinition' } }],
  })

  expect(answer.status).toBe(405)
  expect(issues(answer)[0]?.details.text).toMatch(/^A size chart is sent in one transaction Bundle/)
  expect(inBatch.text).toContain('A size chart is sent in one transaction Bundle')
  expect(await stored(staff)).toBe(0)
})

test('sizes are not added to a chart that is kept', async () => {
  const { staff } = await service.clinic()
  const [line = ''] = kept(await sendChart(staff, THREE_SIZES))
  const { entry, ...bundle } = chartBundle(
    chartOf(size({ code: 'D', footLength: { min: 140, max: 150 } })),
  )
  const text = JSON.stringify({ ...bundle, entry: entry.slice(1) })
  const toKept = text.replaceAll(/"reference":"urn:[^"]*"/g, `"reference":"${line}"`)

  const answer = await post(staff, toKept)

  expect([answer.status, expressions(answer)]).toEqual([
    422,
    ['Bundle.entry[0].resource.parentDevice'],
  ])
  expect(await stored(staff)).toBe(4)
})

test('a version is taken once; a new version is a new set beside it', async () => {
  const { staff } = await service.clinic()
  await sendChart(staff, THREE_SIZES)

  const again = await sendChart(staff, { ...THREE_SIZES, title: 'Another title' })
  const next = await sendChart(staff, { ...THREE_SIZES, version: '2' })

  expect([again.status, next.status]).toEqual([409, 200])
  expect(expressions(again)).toEqual(['Bundle.entry[0].resource.version[0]'])
  expect(issues(again)[0]?.details.text).toMatch(/^Version 1 of the chart invented is kept/)
  expect(await stored(staff)).toBe(8)
})

test('the same version sent twice at once is taken once', async () => {
  const { staff } = await service.clinic()

  const answers = await Promise.all([1, 2, 3].map(() => sendChart(staff, THREE_SIZES)))

  expect(answers.map(({ status }) => status).toSorted((a, b) => a - b)).toEqual([200, 409, 409])
  expect(await stored(staff)).toBe(4)
})

test('a retry with its Idempotency-Key gets the same answer', async () => {
  const { staff } = await service.clinic()
  const key = { 'idempotency-key': 'chart-1' }

  const first = await post(staff, chartBundle(THREE_SIZES), key)
  const second = await post(staff, chartBundle(THREE_SIZES), key)

  expect([first.status, second.status]).toEqual([200, 200])
  expect(second.text).toBe(first.text)
  expect(await stored(staff)).toBe(4)
})

test('a partner neither sends a chart nor sees one', async () => {
  const { staff, partner } = await service.clinic()

  const refused = await sendChart(partner, THREE_SIZES)
  const [line = ''] = kept(await sendChart(staff, THREE_SIZES))
  const read = await service.send(partner, { url: `/fhir/${line}` })
  const found = await service.send(partner, { url: '/fhir/DeviceDefinition' })

  expect(refused.status).toBe(403)
  expect(issues(refused)[0]?.details.text).toBe(
    'A DeviceDefinition is written by the staff of the clinic, not by a partner.',
  )
  expect([read.status, resources(found)]).toEqual([404, []])
})

test('another clinic may use the same name and version, and does not see ours', async () => {
  const ours = (await service.clinic()).staff
  const theirs = (await service.clinic()).staff
  const [line = ''] = kept(await sendChart(ours, THREE_SIZES))

  expect((await service.send(theirs, { url: `/fhir/${line}` })).status).toBe(404)
  expect((await sendChart(theirs, THREE_SIZES)).status).toBe(200)
})

test('a chart is read and not changed: no update, no deletion', async () => {
  const { staff } = await service.clinic()
  const [line = ''] = kept(await sendChart(staff, THREE_SIZES))
  const body: Json = resource(await service.send(staff, { url: `/fhir/${line}` }))

  for (const method of ['PUT', 'PATCH', 'DELETE'] as const)
    expect((await service.send(staff, { method, url: `/fhir/${line}`, body })).status).toBe(405)
})
