import * as fc from 'fast-check'
import { beforeAll, expect, test } from 'vitest'
import type { Write } from '../helpers/fhir-model-writes.ts'
import { INDEX, type ModelType, patchOf, resourceOf, TYPES } from '../helpers/fhir-model-steps.ts'
import { conditionOf, searchOf } from '../helpers/fhir-model-searches.ts'
import { Walk } from '../helpers/fhir-model-walk.ts'
import { START, type TestService, testService } from '../helpers/service.ts'

/**
 * Random reads, writes and searches against a model of the specification. MODEL_STEPS sets how many
 * are done.
 */
const STEPS = Number(process.env['MODEL_STEPS'] ?? 1_000)
const SEED = Number(process.env['MODEL_SEED'] ?? 20_261_125)
const STEPS_A_WALK = 150

let service: TestService
let now = Date.parse(START)
beforeAll(async () => {
  service = await testService()
  return service.close
})

type Step = (walk: Walk) => Promise<void>
type MadeWrite = (walk: Walk, fullUrl: string) => Write

const place = { type: fc.constantFrom<ModelType[]>(...TYPES), index: INDEX }
const match = fc.constantFrom('none', 'none', 'right', 'wrong')
const seen = (walk: Walk, at: string, wanted: string): number | undefined => {
  const version = walk.model.current(at)?.version ?? 1
  if (wanted === 'none') return undefined
  return wanted === 'right' ? version : version + 1
}
const ofType = <Value>(arbitrary: (type: ModelType) => fc.Arbitrary<Value>): fc.Arbitrary<Value> =>
  fc.oneof(...TYPES.map(arbitrary))

const create = (type: ModelType): fc.Arbitrary<MadeWrite> =>
  resourceOf(type).map((made) => (walk, fullUrl) => ({
    does: 'create',
    type,
    resource: made(walk.pick),
    ifNoneExist: undefined,
    fullUrl,
  }))
const createOnce = (type: ModelType): fc.Arbitrary<MadeWrite> =>
  fc.tuple(create(type), conditionOf()).map(([made, once]) => (walk, fullUrl) => {
    const write = made(walk, fullUrl)
    return write.does === 'create' ? { ...write, ifNoneExist: once(walk.pick) } : write
  })
const update = (type: ModelType): fc.Arbitrary<MadeWrite> =>
  fc.tuple(resourceOf(type), INDEX, match).map(([made, index, wanted]) => (walk) => {
    const at = walk.pick(type, index)
    const resource = { ...made(walk.pick), id: at.split('/')[1] }
    return { does: 'update', type, resource, aim: { place: at }, ifMatch: seen(walk, at, wanted) }
  })
const updateFound = (type: ModelType): fc.Arbitrary<MadeWrite> =>
  fc
    .tuple(resourceOf(type), fc.option(INDEX), conditionOf())
    .map(([made, index, condition]) => (walk) => {
      const id = index === null ? {} : { id: walk.pick(type, index).split('/')[1] }
      const resource = { ...made(walk.pick), ...id }
      const aim = { criteria: condition(walk.pick) }
      return { does: 'update', type, resource, aim, ifMatch: undefined }
    })
const patch = (type: ModelType): fc.Arbitrary<MadeWrite> =>
  fc.tuple(patchOf(type), INDEX, match).map(([made, index, wanted]) => (walk) => {
    const at = walk.pick(type, index)
    const ifMatch = seen(walk, at, wanted)
    return { does: 'patch', type, patch: made(walk.pick), aim: { place: at }, ifMatch }
  })
const patchFound = (type: ModelType): fc.Arbitrary<MadeWrite> =>
  fc.tuple(patchOf(type), conditionOf()).map(([made, condition]) => (walk) => {
    const aim = { criteria: condition(walk.pick) }
    return { does: 'patch', type, patch: made(walk.pick), aim, ifMatch: undefined }
  })
const remove = (type: ModelType): fc.Arbitrary<MadeWrite> =>
  fc.tuple(INDEX, match).map(([index, wanted]) => (walk) => {
    const at = walk.pick(type, index)
    return { does: 'delete', type, aim: { place: at }, ifMatch: seen(walk, at, wanted) }
  })
const removeFound = (type: ModelType): fc.Arbitrary<MadeWrite> =>
  conditionOf().map((condition) => (walk) => ({
    does: 'delete',
    type,
    aim: { criteria: condition(walk.pick) },
    ifMatch: undefined,
  }))

const alone = (made: fc.Arbitrary<MadeWrite>): fc.Arbitrary<Step> =>
  made.map(
    (one) => (walk) => walk.write(one(walk, 'urn:uuid:5e1f0000-0000-4000-8000-000000000000')),
  )
const together = (made: fc.Arbitrary<readonly MadeWrite[]>): fc.Arbitrary<Step> =>
  made.map(
    (all) => (walk) =>
      walk.transact(
        all.map((one, index) => one(walk, `urn:uuid:5e1f0000-0000-4000-8000-00000000000${index}`)),
      ),
  )

const step: fc.Arbitrary<Step> = fc.oneof(
  { weight: 5, arbitrary: alone(ofType(create)) },
  ...[createOnce, update, updateFound, patch, patchFound, remove, removeFound].map((one) => ({
    weight: one === update || one === patch ? 4 : one === remove || one === removeFound ? 1 : 2,
    arbitrary: alone(ofType(one)),
  })),
  {
    weight: 3,
    arbitrary: together(
      fc.array(fc.oneof(ofType(create), ofType(update), ofType(remove)), {
        minLength: 2,
        maxLength: 3,
      }),
    ),
  },
  // Conditions are looked up before anything is written: R4 leaves open what one sees of the others.
  {
    weight: 1,
    arbitrary: together(fc.tuple(ofType(createOnce), ofType(update))),
  },
  {
    weight: 2,
    arbitrary: fc.record(place).map(
      ({ type, index }): Step =>
        (walk) =>
          walk.read(type, index),
    ),
  },
  {
    weight: 2,
    arbitrary: fc.record({ ...place, version: fc.integer({ min: 1, max: 5 }) }).map(
      ({ type, index, version }): Step =>
        (walk) =>
          walk.vread(type, index, version),
    ),
  },
  {
    weight: 1,
    arbitrary: fc.record(place).map(
      ({ type, index }): Step =>
        (walk) =>
          walk.history(type, index),
    ),
  },
  {
    weight: 10,
    arbitrary: ofType((type) =>
      searchOf(type).map(
        (criteria): Step =>
          (walk) =>
            walk.search(type, criteria(walk.pick)),
      ),
    ),
  },
)

test('random reads, writes and searches come to what the specification says', async () => {
  let done = 0
  await fc.assert(
    fc.asyncProperty(
      fc.noBias(fc.array(step, { minLength: 1, maxLength: STEPS_A_WALK, size: 'max' })),
      fc.constantFrom(1, 400, 1_000),
      async (steps, pause) => {
        const { staff } = await service.clinic()
        const walk = new Walk({ send: (sent) => service.send(staff, sent), now: () => now })
        try {
          for (const one of steps) {
            now += pause
            service.clock.set(new Date(now).toISOString())
            await one(walk)
          }
        } catch (error) {
          throw new Error(`${String(error)}\n${walk.told.join('\n')}`, { cause: error })
        }
        done += steps.length
      },
    ),
    { numRuns: Math.ceil((STEPS * 2) / STEPS_A_WALK), seed: SEED },
  )

  console.info(`${done} interactions agreed with the model`)
  expect(done).toBeGreaterThan(0)
}, 3_600_000)
