import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { changeOf, TO, underWay } from '../helpers/referrals-under-way.ts'
import { resource, type TestService, testService, type Who } from '../helpers/service.ts'

// Updates of one Task that reach the service in another order than they were made in.

let service: TestService
let staff: Who
let partner: Who

beforeAll(async () => {
  service = await testService()
  const clinic = await service.clinic()
  staff = clinic.staff
  partner = clinic.partner
  return service.close
})

const STEPS = ['accepted', 'scheduled', 'done', 'completed'] as const
const LEGAL = ['received', 'accepted', 'in-progress', 'completed']

const ordersOf = <One>(all: readonly One[]): One[][] =>
  all.length < 2
    ? [[...all]]
    : all.flatMap((one, index) =>
        ordersOf(all.filter((_other, at) => at !== index)).map((rest) => [one, ...rest]),
      )

const Versioned = z.object({ status: z.string(), meta: z.object({ versionId: z.string() }) })

test('in every order of four the Task is where the table allows, and no update is lost', async () => {
  for (const [index, order] of ordersOf(STEPS).entries()) {
    const { task } = await underWay(service, partner, `order${index}`)
    await changeOf(service, staff, task, TO['received'] ?? {})
    const url = `/fhir/${task}`
    const begun = Versioned.parse(resource(await service.send(staff, { url })))

    const statuses: number[] = []
    for (const step of order)
      statuses.push((await changeOf(service, staff, task, TO[step] ?? {})).status)

    const ended = Versioned.parse(resource(await service.send(staff, { url })))
    const applied = statuses.filter((status) => status === 200).length
    const [row] = await service.sql<{ count: number }>(
      'select count(*)::int as count from resource_versions where id = $1',
      [task.split('/')[1]],
    )
    expect(LEGAL).toContain(ended.status)
    expect(statuses.every((status) => status === 200 || status === 422)).toBe(true)
    expect(Number(ended.meta.versionId)).toBe(Number(begun.meta.versionId) + applied)
    expect(row?.count).toBe(Number(ended.meta.versionId))
  }
}, 240_000)

test('of four that saw the same version one is taken, the others are told 412', async () => {
  const { task } = await underWay(service, partner, 'stale')
  const url = `/fhir/${task}`
  const { businessStatus: _left, ...stands } = resource(await service.send(staff, { url }))
  const { versionId } = Versioned.parse(stands).meta
  const body = { ...stands, ...TO['received'] }

  const answers = await Promise.all(
    STEPS.map(() =>
      service.send(staff, {
        method: 'PUT',
        url,
        body,
        headers: { 'if-match': `W/"${versionId}"` },
      }),
    ),
  )

  const statuses = answers.map(({ status }) => status).toSorted((a, b) => a - b)
  expect(statuses).toEqual([200, 412, 412, 412])
})
