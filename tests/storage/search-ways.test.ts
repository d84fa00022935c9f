import { randomUUID } from 'node:crypto'
import { beforeAll, expect, test } from 'vitest'
import type { Json } from '../helpers/referral.ts'
import { observationOf, searcher } from '../helpers/searches.ts'
import { type TestService, testService } from '../helpers/service.ts'

// A search goes by one of several ways, by how many values lead to matches and where those stand in the
// order. Whatever the way, it finds the same, in the same order, and nothing twice.

let service: TestService
let as: ReturnType<typeof searcher>
let staff: Awaited<ReturnType<TestService['clinic']>>['staff']

/** More than are looked up at once. */
const MANY = 1_200
const OLD = 600
const SYSTEM = 'http://a.example/cs'

const concept = (...codes: string[]): Json => ({
  coding: codes.map((code) => ({ system: SYSTEM, code })),
})

/** Old ones of one category, then newer ones of another; every third has a further coding, every seventh the same twice. */
const resources: readonly Json[] = Array.from({ length: MANY }, (_, index) =>
  observationOf({
    category: [concept(index < OLD ? 'old' : 'new', `c${index}`)],
    code: concept(
      index % 2 === 0 ? 'even' : 'odd',
      ...(index % 3 === 0 ? ['third'] : []),
      ...(index % 7 === 0 ? [index % 2 === 0 ? 'even' : 'odd'] : []),
    ),
    effectiveDateTime: `20${String(10 + (index % 15)).padStart(2, '0')}-01-01`,
  }),
)

beforeAll(async () => {
  service = await testService()
  staff = (await service.clinic()).staff
  as = searcher(service, staff)
  for (let from = 0; from < MANY; from += 400) {
    const entry = resources.slice(from, from + 400).map((resource) => ({
      resource,
      request: { method: 'POST', url: 'Observation' },
      fullUrl: `urn:uuid:${randomUUID()}`,
    }))
    const body = { resourceType: 'Bundle', type: 'transaction', entry }
    const answer = await service.send(staff, { method: 'POST', url: '/fhir', body })
    if (answer.status !== 200) throw new Error(answer.text.slice(0, 400))
  }
  return service.close
})

/** All pages of a search, as they come. */
async function walked(query: string, count: number): Promise<string[]> {
  const seen: string[] = []
  let next = `/fhir/Observation?${query}&_count=${count}`
  while (next !== '') {
    const answer = await service.send(staff, { url: next })
    expect(answer.status, answer.text.slice(0, 400)).toBe(200)
    for (const [, id = ''] of answer.text.matchAll(/"resourceType":"Observation","id":"([^"]+)"/g))
      seen.push(id)
    next = /"relation":"next","url":"[^"]*?(\/fhir[^"]+)"/.exec(answer.text)?.[1] ?? ''
  }
  return seen
}

const ofCode = (code: string): number =>
  resources.filter((one) => JSON.stringify(one['code']).includes(`"${code}"`)).length

const COUNTS: readonly (readonly [query: string, matches: number])[] = [
  ['', MANY],
  ['category=new', MANY - OLD],
  ['category=old', OLD],
  ['category=old,new', MANY],
  ['category=c7', 1],
  ['category=none', 0],
  ['code=even', ofCode('even')],
  ['code=third', ofCode('third')],
  ['code=even,third', resources.filter((_, n) => n % 2 === 0 || n % 3 === 0).length],
  ['code=even,odd', MANY],
  ['code=EVEN', ofCode('even')],
  [`code=${SYSTEM}|`, MANY],
  ['code=third&category=old', OLD / 3],
  [
    'code=odd&category=new&date=ge2020',
    resources.filter((_, n) => n % 2 === 1 && n >= OLD && n % 15 > 9).length,
  ],
  ['category:missing=false', MANY],
  ['method:missing=false', 0],
  ['date=lt2012-06-01', resources.filter((_, n) => n % 15 < 3).length],
  ['date=ge2012-06-01&code=third', resources.filter((_, n) => n % 15 > 2 && n % 3 === 0).length],
]

test.each(COUNTS)('?%s finds each match once, on whatever page', async (query, matches) => {
  const inPages = await walked(query, 97)
  const { text } = await as.find(`Observation?${query}&_summary=count`)

  expect(new Set(inPages).size).toBe(inPages.length)
  expect(inPages.length).toBe(matches)
  expect(text).toContain(`"total":${matches},`)
  // Small pages ask for what stands nearest, one large page for all at once.
  expect(await walked(query, 1000)).toEqual(inPages)
})

test('the newest come first, whatever is asked', async () => {
  const all = await walked('', 500)
  for (const query of ['category=old', 'code=third', 'code=even,odd', 'category:missing=false']) {
    const found = new Set(await walked(query, 50))
    expect(await walked(query, 50)).toEqual(all.filter((id) => found.has(id)))
  }
})

test('what has a value is found where few have one, and in another order', async () => {
  const few = [
    await as.create(observationOf({ method: concept('m') })),
    await as.create(observationOf({ method: { text: 'An invented method' } })),
  ]

  expect((await as.ids('Observation?method:missing=false')).toSorted()).toEqual(few.toSorted())
  expect(await as.ids('Observation?method:missing=false&category:missing=false')).toEqual([])
  expect((await as.ids('Observation?category:missing=true')).toSorted()).toEqual(few.toSorted())
  expect(new Set(await walked('category:missing=false&_sort=status', 500)).size).toBe(MANY)
  expect(new Set(await walked('category:missing=false&_sort=category', 500)).size).toBe(MANY)
})
