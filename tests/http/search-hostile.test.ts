import * as fc from 'fast-check'
import { beforeAll, expect, test } from 'vitest'
import { REGISTRY } from '../../src/fhir/registry.ts'
import { type TestService, testService, type Who } from '../helpers/service.ts'

let service: TestService
let staff: Who

beforeAll(async () => {
  service = await testService()
  ;({ staff } = await service.clinic())
  return service.close
})

const ENDINGS = [
  '',
  ':not',
  ':missing',
  ':text',
  ':contains',
  ':exact',
  ':above',
  ':below',
  ':identifier',
  ':Patient',
  ':of-type',
  ':in',
  '.name',
  '._id',
  ':Patient.family',
  '.',
  ':',
  ':a:b',
]
const VALUES = [
  'gt2020',
  'lt9999-12-31',
  '0001',
  'ap0001',
  'ap9999',
  '1e999',
  '-1e-999',
  'ap1e60',
  '+1',
  'a|b',
  '|',
  'a|',
  '|a',
  'a,b',
  '$',
  'a$b',
  'true',
  'http://x.example/y|1',
  'Patient/1',
  '%',
  '_',
  '\\',
  '\\,',
  '\uffff',
  '\u{10ffff}',
  '\ud7ff',
  "'; drop table resources; --",
]
const EXTRAS = ['', '_sort=-_lastUpdated', '_count=0', '_total=accurate', '_summary=true']

const anyPair = (names: readonly string[]) =>
  fc
    .tuple(
      fc.constantFrom(...names),
      fc.constantFrom(...ENDINGS),
      fc.oneof(fc.constantFrom(...VALUES), fc.string({ unit: 'binary' })),
    )
    .map(
      ([name, ending, value]) =>
        `${encodeURIComponent(name + ending)}=${encodeURIComponent(value.replaceAll(/\p{Cs}/gu, ''))}`,
    )

const anySearch = fc.constantFrom(...REGISTRY).chain(({ type, search }) =>
  fc
    .tuple(
      fc.array(anyPair(['_id', '_lastUpdated', ...search.map(({ code }) => code)]), {
        minLength: 1,
        maxLength: 4,
      }),
      fc.constantFrom(...EXTRAS),
    )
    .map(([pairs, extra]) => `${type}?${[...pairs, extra].join('&')}`),
)

test('whatever is searched, it is answered or refused', async () => {
  await fc.assert(
    fc.asyncProperty(anySearch, async (search) => {
      const { status } = await service.send(staff, { url: `/fhir/${search}` })
      expect([200, 400]).toContain(status)
    }),
    { numRuns: 500 },
  )
})
