import { beforeAll, expect, test } from 'vitest'
import { anyRequests, hostileRun } from '../helpers/hostile-run.ts'
import { type TestService, testService, type Who } from '../helpers/service.ts'

/** `npm run fuzz` sends 100,000. */
const REQUESTS = 3_000
const SEED = 4_011

let service: TestService
let staff: Who

beforeAll(async () => {
  service = await testService()
  ;({ staff } = await service.clinic())
  return service.close
})

test('whatever is sent, it is answered, never with a failure of ours, and a refusal says why', async () => {
  const { token } = staff
  const run = await hostileRun(service.service.app, {
    source: anyRequests(SEED, token),
    requests: REQUESTS,
    longestMs: 20_000,
  })

  console.info(`${run.requests} requests: ${JSON.stringify(Object.fromEntries(run.statuses))}`)
  expect(run.faults).toEqual([])
  expect([...run.statuses.values()].reduce((sum, count) => sum + count, 0)).toBe(REQUESTS)
}, 300_000)
