import { afterAll, beforeAll, expect, test } from 'vitest'
import type { SizeChart } from '../../src/domain/device/sizing.ts'
import { GENERIC_SIZE_CHART } from '../../src/domain/tables/generic-size-chart.ts'
import { type Asked, type Basis, basisOf } from '../../src/services/basis.ts'
import { byLength } from '../../src/domain/device/size-chart.ts'
import { chartOf, size, THREE_SIZES } from '../helpers/plans.ts'
import { type TestService, testService, type Who } from '../helpers/service.ts'
import { newCall } from '../helpers/calls.ts'
import { chartBundle } from '../helpers/size-charts.ts'

let service: TestService
beforeAll(async () => {
  service = await testService()
})
afterAll(() => service.close())

/** What a caller's next computation goes by. */
function basis({ clinicId, partnerId, clientId }: Who, asked?: Asked): Promise<Basis> {
  const { context } = service.service
  const scope = { clinicId, ...(partnerId === undefined ? {} : { partnerId }) }
  const identity = { ...scope, clientId, tokenId: 'a', expiresAtMs: 0, scopes: [] }
  const caller = { ...identity, call: newCall() }
  return context.db.inClinic(scope, (tx) => basisOf(tx, context, caller, asked))
}
const chartFor = async (who: Who, asked?: Asked) => (await basis(who, asked)).chart

/** Sends a chart a minute after whatever was sent before; the instant it was stored. */
async function send(who: Who, chart: SizeChart): Promise<string> {
  service.clock.advance(60_000)
  const answer = await service.send(who, { method: 'POST', url: '/fhir', body: chartBundle(chart) })
  if (answer.status !== 200) throw new Error(`The chart was not taken: ${answer.text}`)
  return service.service.context.now().toISOString()
}

/** Sizes have no order of their own. */
const ordered = (chart: SizeChart): SizeChart => ({ ...chart, sizes: byLength(chart.sizes) })

const ONE_SIZE = { ...chartOf(size({ code: 'only' })), version: '2' }

test('a clinic that has sent no chart goes by the generic one', async () => {
  const { staff, partner } = await service.clinic()

  expect(await chartFor(staff)).toBe(GENERIC_SIZE_CHART)
  expect(await basis(partner)).toMatchObject({ chart: { id: 'generic' }, inForce: true })
})

test('the chart that was sent last is in force, for staff and for partners', async () => {
  const { staff, partner } = await service.clinic()

  await send(staff, THREE_SIZES)
  expect(ordered(await chartFor(partner))).toEqual(THREE_SIZES)
  await send(staff, ONE_SIZE)
  expect(await chartFor(partner)).toEqual(ONE_SIZE)
  await send(staff, { ...THREE_SIZES, version: '3' })
  expect(ordered(await chartFor(staff))).toEqual({ ...THREE_SIZES, version: '3' })
})

test('another clinic keeps its own', async () => {
  const ours = (await service.clinic()).staff
  const theirs = (await service.clinic()).staff
  await send(ours, THREE_SIZES)
  await send(theirs, ONE_SIZE)

  expect((await chartFor(ours)).version).toBe('1')
  expect((await chartFor(theirs)).version).toBe('2')
})

test('by a moment, what had been sent until then was in force', async () => {
  const { staff } = await service.clinic()
  const first = await send(staff, THREE_SIZES)
  const before = new Date(Date.parse(first) - 1).toISOString()
  await send(staff, ONE_SIZE)

  expect((await chartFor(staff, { knownAt: before })).id).toBe('generic')
  expect((await chartFor(staff, { knownAt: first })).version).toBe('1')
})

test('a chart that is kept is read once', async () => {
  const { staff } = await service.clinic()
  await send(staff, THREE_SIZES)

  expect(await chartFor(staff)).toBe(await chartFor(staff))
})

test('another chart of the clinic may be asked for; it is then not in force', async () => {
  const { staff, partner } = await service.clinic()
  await send(staff, THREE_SIZES)
  await send(staff, ONE_SIZE)

  const older = await basis(partner, { chart: 'invented|1' })
  const current = await basis(partner, { chart: 'invented|2' })
  const generic = await basis(partner, { chart: 'generic|2026.1' })

  expect([ordered(older.chart), older.inForce]).toEqual([THREE_SIZES, false])
  expect([current.chart, current.inForce]).toEqual([ONE_SIZE, true])
  expect([generic.chart, generic.inForce]).toEqual([GENERIC_SIZE_CHART, false])
})

test('a chart that the clinic does not have, or that is no name, is refused', async () => {
  const { staff } = await service.clinic()
  const other = (await service.clinic()).staff
  await send(other, THREE_SIZES)

  for (const [chart, code] of [
    ['invented|1', 'not-found'],
    ['generic|2025', 'not-found'],
    ['invented', 'value'],
    ['invented|', 'value'],
    ['a|b|c', 'value'],
    ['a\0|1', 'value'],
  ] as const)
    await expect(basis(staff, { chart }), chart).rejects.toMatchObject({
      kind: 'invalid-request',
      faults: [{ code, expression: 'http.chart', rule: 'operation-parameter' }],
    })
})
