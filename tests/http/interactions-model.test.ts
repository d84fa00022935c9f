import * as fc from 'fast-check'
import { beforeAll, expect, test } from 'vitest'
import { step, Walk } from '../helpers/interaction-walk.ts'
import { type TestService, testService } from '../helpers/service.ts'

/**
 * Random interactions against a model of the specification. MODEL_STEPS sets how many are done; 10,000 were
 * when this was written.
 */
const STEPS = Number(process.env['MODEL_STEPS'] ?? 1_000)
const STEPS_A_RUN = 50
const SEED = 20_261_125

let service: TestService
beforeAll(async () => {
  service = await testService()
  return service.close
})

test('random interactions come to what the specification says', async () => {
  let done = 0
  await fc.assert(
    fc.asyncProperty(
      fc.array(step, { minLength: STEPS_A_RUN, maxLength: STEPS_A_RUN }),
      async (steps) => {
        const { staff } = await service.clinic()
        const walk = new Walk(service, staff)
        for (const one of steps) await walk.do(one)
        done += steps.length
      },
    ),
    { numRuns: Math.ceil(STEPS / STEPS_A_RUN), seed: SEED, endOnFailure: true },
  )

  expect(done).toBeGreaterThanOrEqual(STEPS)
  console.info(`${done} interactions agreed with the model`)
}, 600_000)
