import { randomUUID } from 'node:crypto'
import { array, assert, asyncProperty, integer } from 'fast-check'
import { beforeAll, expect, test } from 'vitest'
import { AppError } from '../../src/errors.ts'
import { matches } from '../../src/fhir/matches.ts'
import { parseQuery, type Query } from '../../src/fhir/query.ts'
import { rowOf } from '../../src/fhir/registry.ts'
import { searchValues } from '../../src/fhir/search-values.ts'
import type { Database } from '../../src/storage/database.ts'
import { insertVersions, type NewVersion } from '../../src/storage/resource-writes.ts'
import { searchPage } from '../../src/storage/search.ts'
import { anyParameter, anyResource, type Parameter } from '../helpers/any-resource.ts'
import { testDatabase } from '../helpers/database.ts'

// Two readings of the same specification: SQL over the index, and plain comparison in memory.

const baseUrl = 'https://footing.example/fhir'
const now = '2026-03-02T09:00:00Z'
const DAY_MS = 86_400_000

let database: Database

beforeAll(async () => {
  const made = await testDatabase()
  ;({ database } = made)
  return made.drop
})

function versionOf(resource: Readonly<Record<string, unknown>>, day: number): NewVersion {
  const type = String(resource['resourceType'])
  const id = randomUUID()
  return {
    type,
    id,
    version: 1,
    partnerId: undefined,
    deleted: false,
    updatedAt: new Date(Date.parse('2026-01-31T00:00:00Z') + day * DAY_MS).toISOString(),
    body: JSON.stringify({ ...resource, id }),
    search: searchValues({ type, id, baseUrl }, resource),
  }
}

/** Undefined for what the search refuses: there is nothing to compare. */
function queryOf(type: string, parameters: readonly Parameter[]): Query | undefined {
  const row = rowOf(type)
  if (row === undefined) return undefined
  try {
    return parseQuery(
      row,
      parameters.map(({ name, value }) => [name, value] as const),
      { handling: 'strict', baseUrl, now },
    )
  } catch (error) {
    if (error instanceof AppError) return undefined
    throw error
  }
}

const inMemory = (query: Query, versions: readonly NewVersion[]): string[] =>
  versions
    .filter(({ type, id, updatedAt, search: values }) =>
      matches(query, { type, id, updatedAt, values }),
    )
    .map(({ id }) => id)
    .toSorted()

const tally = { queries: 0, refused: 0, found: 0, missed: 0 }

test('the database finds what the specification says, of any resources by any search', async () => {
  const resources = array(anyResource, { minLength: 1, maxLength: 25 })
  const queries = array(array(anyParameter, { minLength: 1, maxLength: 2 }), {
    minLength: 1,
    maxLength: 25,
  })
  await assert(
    asyncProperty(resources, queries, integer({ min: 0, max: 2 }), async (all, asked, day) => {
      const clinicId = randomUUID()
      const versions = all.map((resource) => versionOf(resource, day))
      await database.inClinic({ clinicId }, async (tx) => {
        await insertVersions(tx, clinicId, versions)
        for (const [first, ...others] of asked) {
          if (first === undefined) continue
          const parameters = [first, ...others.filter(({ type }) => type === first.type)]
          const query = queryOf(first.type, parameters)
          tally.queries += 1
          if (query === undefined) tally.refused += 1
          if (query === undefined) continue
          const page = await searchPage(tx, { clinicId }, { ...query, count: 1_000 })
          const found = page.found.map(({ id }) => id).toSorted()
          expect(found, JSON.stringify(parameters)).toEqual(inMemory(query, versions))
          tally.found += found.length > 0 ? 1 : 0
          tally.missed +=
            found.length < versions.filter(({ type }) => type === first.type).length ? 1 : 0
        }
      })
    }),
    { numRuns: 120 },
  )

  // Searches that are refused or find nothing would say little.
  expect(tally.refused).toBeLessThan(tally.queries / 5)
  expect(tally.found).toBeGreaterThan(tally.queries / 10)
  expect(tally.missed).toBeGreaterThan(tally.queries / 10)
})
