import { beforeAll, expect, test } from 'vitest'
import { referralParts } from '../helpers/referral.ts'
import {
  type Answer,
  BASE,
  expressions,
  keptAs,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// Token search by value set, 3.1.1.4.4: the value sets that the service publishes are known.

let service: TestService
let partner: Who
const parts = referralParts({ key: 'value-sets' })
let first: Answer

beforeAll(async () => {
  service = await testService()
  ;({ partner } = await service.clinic())
  first = await service.refer(partner, parts)
  return service.close
})

const VALUE_SET = 'https://footing.example/fhir/ValueSet'
const find = (query: string) =>
  service.send(partner, { url: `/fhir/Observation?_count=200&${query}` })
const places = (answer: Answer) =>
  resources(answer).map(({ resourceType, id }) => `${String(resourceType)}/${String(id)}`)

test(':in finds what has a code of the value set, :not-in all else', async () => {
  const facts = places(await find(`code:in=${VALUE_SET}/facts`))
  const findings = places(await find(`code:not-in=${VALUE_SET}/facts`))

  expect(facts).toContain(keptAs(first, parts, 'walking-alone'))
  expect(findings).not.toContain(keptAs(first, parts, 'walking-alone'))
  expect(findings.length).toBeGreaterThan(0)
  expect(facts.filter((one) => findings.includes(one))).toEqual([])
})

test('a value set of a whole code system finds all of its codes', async () => {
  expect(places(await find(`code:in=${VALUE_SET}/observation`))).toContain(
    keptAs(first, parts, 'walking-alone'),
  )
})

test('a value set is also named by where it is kept: relative, or as an address (R4 3.1.1.4.10)', async () => {
  const facts = places(await find(`code:in=${VALUE_SET}/facts`))

  expect(places(await find('code:in=ValueSet/facts'))).toEqual(facts)
  expect(places(await find(`code:in=${BASE}/ValueSet/facts`))).toEqual(facts)
  expect(places(await find('code:not-in=ValueSet/facts'))).not.toContain(facts[0])
})

test.each(['https://elsewhere.example/ValueSet/x', 'ValueSet/none', 'CodeSystem/facts', 'facts'])(
  'one that is not known is refused: %s',
  async (uri) => {
    const answer = await find(`code:in=${uri}`)

    expect([answer.status, expressions(answer)]).toEqual([400, ['http."code:in"']])
  },
)
