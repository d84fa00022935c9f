import { existsSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { expect, test } from 'vitest'
import { z } from 'zod'

// tests/cases/security-requirements.json: what is asked of an API, and which test shows it. Whether a test shows
// what its row says is for a reader; that it is there, under this title, is checked here.

const ROOT = new URL('..', import.meta.url)

const Shown = z.strictObject({
  file: z.string(),
  /** A piece of the title of a test or of a group of tests, as it is written. */
  title: z.string().min(7),
  /** The name of the case that is meant, where one title stands for many. */
  case: z.string().min(1).optional(),
})
const Row = z.strictObject({
  id: z.string().min(1),
  asks: z.string().min(1),
  shownBy: z.array(Shown).min(1).optional(),
  /** What is not met here, and why. */
  reason: z.string().min(20).optional(),
})
const Table = z.strictObject({ about: z.string(), source: z.string(), rows: z.array(Row) })

type Shown = z.infer<typeof Shown>
type Row = z.infer<typeof Row>

const rowsOf = (name: string): readonly Row[] =>
  Table.parse(JSON.parse(readFileSync(new URL(`cases/${name}`, import.meta.url), 'utf8'))).rows

const rows = rowsOf('security-requirements.json')
/** What is broken on purpose, by the same rules. */
const faults = rowsOf('faults.json')

/** A text that comes first in a call and before a function, unless the call skips the test. */
const TITLE = /(?<!\.(?:skip|todo|fails))\(\s*(['"`])((?:\\.|(?!\1).)+)\1,\s*(?:async\b|\(|\{)/g

const titlesOf = (source: string): string[] =>
  [...source.matchAll(TITLE)].map(([, , title = '']) => title)

/** As a text, or as the name of a property, which needs no quotes where it is one word. */
const named = (source: string, text: string): boolean =>
  [`'${text}'`, `"${text}"`, `\`${text}\``, `  ${text}: `].some((each) => source.includes(each))

function faultOf({ file, title, case: one }: Shown): string | undefined {
  const path = fileURLToPath(new URL(file, ROOT))
  if (!/^tests\/[\w/-]+\.test\.ts$/.test(file) || !existsSync(path)) return `no file ${file}`
  const source = readFileSync(path, 'utf8')
  if (!titlesOf(source).some((each) => each.includes(title))) return `${file} has no test: ${title}`
  return one === undefined || named(source, one) ? undefined : `${file} has no case: ${one}`
}

const faultsOf = ({ id, shownBy = [], reason }: Row): string[] =>
  shownBy.length === 0 && reason === undefined
    ? [`${id} has neither a test nor a reason`]
    : shownBy.flatMap((shown) => faultOf(shown) ?? []).map((fault) => `${id}: ${fault}`)

test('every requirement is shown by a test that there is, or says why not', () => {
  expect([...rows, ...faults].flatMap(faultsOf)).toEqual([])
})

test('every fault of the list is there, shown by a test, once', () => {
  const listed = ['F4', 'T1', 'T2', 'T3', 'T6', 'T7'].concat(
    Array.from({ length: 12 }, (_, index) => `P${index + 1}`),
    Array.from({ length: 11 }, (_, index) => `S${index + 1}`),
  )

  expect(
    faults
      .filter(({ shownBy }) => shownBy)
      .map(({ id }) => id)
      .toSorted(),
  ).toEqual(listed.toSorted())
})

test('every item of the OWASP API Security Top 10 of 2023 is there, shown by a test, once', () => {
  const ids = Array.from({ length: 10 }, (_, index) => `API${index + 1}`)

  expect(rows.filter(({ shownBy }) => shownBy).map(({ id }) => id)).toEqual(
    expect.arrayContaining(ids),
  )
  expect(new Set(rows.map(({ id }) => id)).size).toBe(rows.length)
})

test('the chapters of ASVS 5.0 that concern an API are there', () => {
  const text = rows.map(({ id }) => id).join()

  expect(text.match(/\bV\d+(?=[:,])/g)?.filter((one, at, all) => all.indexOf(one) === at)).toEqual(
    [1, 2, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16].map((chapter) => `V${chapter}`),
  )
})

test('a row without a test, a file that is not there, a title or a case that is none are found', () => {
  const file = 'tests/http/access.test.ts'
  const title = 'a token as the service makes it is taken'
  const row = (shown: Partial<Shown>): Row => ({
    id: 'A',
    asks: 'a',
    shownBy: [{ file, title, ...shown }],
  })

  expect(faultsOf(row({}))).toEqual([])
  expect(faultsOf({ id: 'A', asks: 'a' })).toEqual(['A has neither a test nor a reason'])
  expect(faultsOf(row({ file: 'tests/nowhere.test.ts' }))).toEqual([
    'A: no file tests/nowhere.test.ts',
  ])
  expect(faultsOf(row({ file: 'tests/../README.md' }))).toHaveLength(1)
  expect(faultsOf(row({ title: 'a token is taken from nowhere' }))).toHaveLength(1)
  expect(faultsOf(row({ case: 'of a client of another clinic' }))).toEqual([])
  expect(faultsOf(row({ case: 'of a client of the moon' }))).toHaveLength(1)
  expect(titlesOf("test.skip('a title of a test', () => {})")).toEqual([])
})
