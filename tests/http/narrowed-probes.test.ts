import { beforeAll, expect, test } from 'vitest'
import { scopeRestriction } from '../../src/fhir/scope-restriction.ts'
import { Dice } from '../helpers/any-request.ts'
import {
  type Compartment,
  type Compartments,
  compartments,
  plant,
  resourcesWith,
} from '../helpers/compartments.ts'
import { goalIn, probe } from '../helpers/cross-probes.ts'
import { lootOf, probeRun, sendTo, wordsOf } from '../helpers/probe-run.ts'
import { type TestService, testService } from '../helpers/service.ts'

// Every type that can be narrowed is, to what has a tag: for whoever has such a token, all that lies in the same
// clinic without the tag must be as if it were not there, by every way that the probes know.

const PROBES = 500
const SEED = 6_011
const SYSTEM = 'urn:example:invented:part'
const QUERY = `_tag=${SYSTEM}|open`

let service: TestService
let all: Compartments
let narrowed: Compartment
let narrowedPartner: Compartment

/** One of each of these types with the tag, for a client of whom they are narrowed to it. */
async function taggedOf(beside: Compartment, clientId: string): Promise<Compartment> {
  const { clinicId, partnerId } = beside.owner
  const types = [...beside.planted.keys()].filter(
    (type) => 'predicate' in scopeRestriction(type, QUERY),
  )
  const scope = types.map((type) => `system/${type}.cruds?${QUERY}`).join(' ')
  const owner = await service.who({
    clinicId,
    clientId,
    scope,
    ...(partnerId === undefined ? {} : { partnerId }),
  })
  const canary = `canary${clientId.padEnd(14, '0')}`
  const planted = new Map(
    [...resourcesWith(canary, types)].map(([type, one]) => {
      const meta = `"meta":{"tag":[{"system":"${SYSTEM}","code":"open"}]},`
      return [type, { ...one, text: one.text.replace('{', `{${meta}`) }]
    }),
  )
  await plant(service, owner, planted.values())
  return { ...beside, name: clientId, owner, canary, planted }
}

beforeAll(async () => {
  service = await testService()
  all = await compartments(service)
  narrowed = await taggedOf(all.staff, 'aaaaaaaaaaaaaa')
  narrowedPartner = await taggedOf(all.partner, 'bbbbbbbbbbbbbb')
  await service.sql('analyze')
  return service.close
})

test('no probe shows anything that lies outside a restriction, or that it is there', async () => {
  const { staff, partner, otherPartner } = all
  const groups = [
    [
      { by: narrowed, after: staff },
      { by: narrowed, after: partner },
      { by: narrowed, after: otherPartner },
      { by: narrowedPartner, after: partner },
      { by: narrowedPartner, after: staff },
    ],
  ]

  const run = await probeRun(sendTo(service.service.app), all, {
    probes: PROBES,
    dice: new Dice(SEED),
    groups,
  })

  expect(run.leaks).toEqual([])
  expect(run.compared).toBeGreaterThan(PROBES / 10)
}, 300_000)

test('the same probes find what lies inside', async () => {
  const send = sendTo(service.service.app)
  const dice = new Dice(SEED)
  const loot = await lootOf(send, narrowed)
  const words = wordsOf(narrowed)
  let asked = 0
  let found = 0

  for (let index = 0; index < 300; index += 1) {
    const sent = probe(goalIn(narrowed, dice), dice, loot)
    if (sent.method !== undefined && !sent.url.endsWith('_search')) continue
    const { text } = await send(narrowed.owner, sent)
    const told = JSON.stringify(sent)
    asked += 1
    if (words.some((word) => text.includes(word) && !told.includes(word))) found += 1
  }

  expect(found).toBeGreaterThan(asked / 6)
}, 120_000)
