import { beforeAll, describe, expect, test } from 'vitest'
import { searchCases } from '../helpers/search-cases.ts'
import { observationOf, patientOf, type Searcher, searcher } from '../helpers/searches.ts'
import {
  BASE,
  bundle,
  linkOf,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// Every case of tests/cases/r4/search-cases.json; the sections of search.html stand there.

let service: TestService
let staff: Who
let as: Searcher
const cases = searchCases()

beforeAll(async () => {
  service = await testService()
  ;({ staff } = await service.clinic())
  as = searcher(service, staff)
  return service.close
})

/** Alone, and together with the id: the database takes another way then. */
async function isFound(id: string, type: string, query: string): Promise<boolean> {
  const alone = (await as.ids(`${type}?${query}&_count=200`)).includes(id)
  const together = (await as.ids(`${type}?${query}&_id=${id}`)).includes(id)
  expect(together, `${query} with and without _id`).toBe(alone)
  return alone
}
const written = (name: string, value: string) => `${name}=${encodeURIComponent(value)}`

describe('date', () => {
  test.each(cases.date.cases)('$param against $value: $match', async ({ param, value, match }) => {
    const dated =
      typeof value === 'string' ? { effectiveDateTime: value } : { effectivePeriod: value }
    const id = await as.create(observationOf(dated))

    expect(await isFound(id, 'Observation', written('date', param))).toBe(match)
  })

  test.each(cases.date.cases)(
    '$param against $value in a place without columns: $match',
    async ({ param, value, match }) => {
      const period = typeof value === 'string' ? { start: value, end: value } : value
      const id = await as.create({
        resourceType: 'CareTeam',
        status: 'active',
        period,
      })

      expect(await isFound(id, 'CareTeam', written('date', param))).toBe(match)
    },
  )
})

describe('number', () => {
  test.each(cases.number.cases)(
    '$param against $value: $match',
    async ({ param, value, match }) => {
      const id = await as.create(observationOf({ valueQuantity: { value } }))

      expect(await isFound(id, 'Observation', written('value-quantity', param))).toBe(match)
    },
  )
})

describe('token', () => {
  const values = { code: cases.token.value, category: [cases.token.value] }

  test.each(['code', 'category'])('%s', async (name) => {
    const id = await as.create(observationOf(values))
    const absent = await as.create(
      name === 'code'
        ? observationOf({ code: { extension: [{ url: 'http://a.example/x', valueCode: 'x' }] } })
        : observationOf(),
    )

    for (const { param, match } of cases.token.cases)
      expect(await isFound(id, 'Observation', written(name, param)), param).toBe(match)
    for (const { modifier, param, match } of cases.token.modifiers)
      expect(
        await isFound(id, 'Observation', written(`${name}${modifier}`, param)),
        `${modifier} ${param}`,
      ).toBe(match)
    for (const { modifier, param, match } of cases.token.absent)
      expect(
        await isFound(absent, 'Observation', written(`${name}${modifier}`, param)),
        `${modifier} ${param}, absent`,
      ).toBe(match)
  })
})

describe('string', () => {
  test.each(cases.string.cases)(
    '$param=$search against $value: $match',
    async ({ param, search, value, match }) => {
      const name = param.startsWith('family') ? { family: value } : { given: [value] }
      const id = await as.create(patientOf({ name: [name] }))

      expect(await isFound(id, 'Patient', written(param, search))).toBe(match)
    },
  )
})

describe('quantity', () => {
  test.each(cases.quantity.cases)('$param: $match', async ({ param, match }) => {
    const id = await as.create(observationOf({ valueQuantity: cases.quantity.value }))

    expect(await isFound(id, 'Observation', written('value-quantity', param))).toBe(match)
  })
})

describe('reference', () => {
  test.each(cases.reference.cases)(
    '$param against $value: $match',
    async ({ param, value, match }) => {
      const child = await as.create(patientOf())
      const ours = (text: string) =>
        text.replace(cases.reference.base, BASE).replace(/\b123$/, child)
      // A Group of the same id cannot be made: the service gives the ids.
      if (value.startsWith('Group/')) return
      const id = await as.create(observationOf({ subject: { reference: ours(value) } }))

      for (const name of ['subject', 'patient'])
        expect(await isFound(id, 'Observation', written(name, ours(param))), name).toBe(match)
    },
  )
})

describe('escaping', () => {
  test.each(cases.escaping.cases)('$param', async ({ param, means, error }) => {
    const query = `Observation?${written('identifier', param)}`
    if (error !== undefined) {
      expect((await as.find(query)).status).toBe(error)
      return
    }
    const made = await Promise.all(
      (means ?? []).map((value) => as.create(observationOf({ identifier: [{ value }] }))),
    )
    const other = await as.create(observationOf({ identifier: [{ value: 'xx' }] }))

    const found = await as.ids(`${query}&_count=200`)

    expect(found).toEqual(expect.arrayContaining(made))
    expect(found).not.toContain(other)
  })
})

describe('combining', () => {
  test.each(cases.combining.cases)('$query means $means', async ({ query, means }) => {
    const own = searcher(service, (await service.clinic()).staff)
    const speaks = (...codes: string[]) =>
      patientOf({
        communication: codes.map((code) => ({ language: { coding: [{ code }] } })),
      })
    const spoken = [['FR'], ['NL'], ['FR', 'NL'], ['FR', 'EN'], ['NL', 'EN'], ['EN']]
    const made = new Map<string, readonly string[]>()
    for (const codes of spoken) made.set(await own.create(speaks(...codes)), codes)
    const holds: Readonly<Record<string, (codes: readonly string[]) => boolean>> = {
      'FR AND NL': (codes) => codes.includes('FR') && codes.includes('NL'),
      'FR OR NL': (codes) => codes.includes('FR') || codes.includes('NL'),
      '(FR OR NL) AND EN': (codes) =>
        (codes.includes('FR') || codes.includes('NL')) && codes.includes('EN'),
    }
    const expected = [...made].flatMap(([id, codes]) => (holds[means]?.(codes) ? [id] : []))

    expect(expected.length).toBeGreaterThan(0)
    expect((await own.ids(`Patient?${query}`)).toSorted()).toEqual(expected.toSorted())
  })
})

describe('errors', () => {
  test.each(cases.errors.cases)(
    '$query with $prefer',
    async ({ query, prefer, status = 200, selfOmits, total }) => {
      const answer = await as.find(`Patient?${query}`, typeof prefer === 'string' ? { prefer } : {})

      expect(answer.status).toBe(status)
      if (selfOmits !== undefined) expect(linkOf(answer, 'self')).not.toContain(selfOmits)
      if (total !== undefined) expect(bundle(answer).total).toBe(total)
    },
  )
})
