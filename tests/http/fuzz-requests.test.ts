import { beforeAll, expect, test } from 'vitest'
import { Dice } from '../helpers/any-request.ts'
import { hostileRun } from '../helpers/hostile-run.ts'
import { MutatedRequests } from '../helpers/mutated-requests.ts'
import { type TestService, testService, type Who } from '../helpers/service.ts'

// `npm run fuzz` sends 100,000, and measures how long an answer takes.

const REQUESTS = Number(process.env['FUZZ_REQUESTS'] ?? 3_000)
const SEED = Number(process.env['FUZZ_SEED'] ?? 20_261_125)
/** Long enough for a loaded machine: no answer at all is what this test sees. */
const LONGEST_MS = 20_000

let service: TestService
let staff: Who
let partner: Who

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner } = await service.clinic())
  return service.close
})

test('what an honest client sends with something changed is answered, and a refusal says why', async () => {
  const statuses = new Map<number, number>()
  for (const [index, { token }] of [staff, partner].entries()) {
    const run = await hostileRun(service.service.app, {
      source: new MutatedRequests(new Dice(SEED + index), token),
      requests: REQUESTS / 2,
      longestMs: LONGEST_MS,
    })
    expect(run.faults).toEqual([])
    for (const [status, count] of run.statuses)
      statuses.set(status, (statuses.get(status) ?? 0) + count)
  }

  console.info(`${REQUESTS} requests: ${JSON.stringify(Object.fromEntries(statuses))}`)
  expect([...statuses.values()].reduce((sum, count) => sum + count, 0)).toBe(REQUESTS)
  // Enough of them reach what lies behind the first check, or nothing was tried.
  for (const status of [200, 201, 204, 400, 404, 405, 410, 412, 415, 422])
    expect(statuses.get(status), String(status)).toBeGreaterThan(0)
  expect(Object.prototype).not.toHaveProperty('polluted')
  expect(Object.prototype).not.toHaveProperty('a')
}, 300_000)
