import { beforeAll, expect, test } from 'vitest'
import { Dice } from '../helpers/any-request.ts'
import { type Compartments, compartments } from '../helpers/compartments.ts'
import { goalIn, probe } from '../helpers/cross-probes.ts'
import { lootOf, probeRun, sendTo, wordsOf } from '../helpers/probe-run.ts'
import { type TestService, testService } from '../helpers/service.ts'

// 3,000 generated requests by everybody after what everybody else has; `npm run probes` sends 200,000.

const PROBES = 1_500
const SEED = 5_002

let service: TestService
let all: Compartments

beforeAll(async () => {
  service = await testService()
  all = await compartments(service)
  await service.sql('analyze')
  return service.close
})

test('no probe shows a word or an id of another compartment, or that it is there', async () => {
  const send = sendTo(service.service.app)

  const run = await probeRun(send, all, { probes: PROBES, dice: new Dice(SEED) })

  expect(run.leaks).toEqual([])
  expect(run.probes).toBeGreaterThanOrEqual(PROBES)
  expect(run.compared).toBeGreaterThan(PROBES / 8)
}, 300_000)

test('the same probes find it for whom it belongs to', async () => {
  const send = sendTo(service.service.app)
  const dice = new Dice(SEED)
  const { partner } = all
  const loot = await lootOf(send, partner)
  const words = wordsOf(partner)
  let asked = 0
  let found = 0

  for (let index = 0; index < 400; index += 1) {
    const sent = probe(goalIn(partner, dice), dice, loot)
    if (sent.method !== undefined && !sent.url.endsWith('_search')) continue
    const { text } = await send(partner.owner, sent)
    const told = JSON.stringify(sent)
    asked += 1
    if (words.some((word) => text.includes(word) && !told.includes(word))) found += 1
  }

  expect(found).toBeGreaterThan(asked / 5)
}, 120_000)
