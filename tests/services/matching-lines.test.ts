import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { array, assert, asyncProperty, nat } from 'fast-check'
import { expect, test } from 'vitest'
import { parseQuery, type Query } from '../../src/fhir/query.ts'
import { rowOf } from '../../src/fhir/registry.ts'
import { matchingLines } from '../../src/services/matching-lines.ts'

const BASE = 'https://footing-test.example/fhir'

function search(...pairs: [string, string][]): Query {
  const row = rowOf('Observation')
  if (row === undefined) throw new Error('There is no such type')
  return parseQuery(row, pairs, {
    baseUrl: BASE,
    now: '2026-03-02T09:00:00.000Z',
    handling: 'strict',
  })
}
const observation = (id: string, status: string, text = '') =>
  `${JSON.stringify({ resourceType: 'Observation', id, status, code: { text } })}\n`

async function passed(chunks: readonly Buffer[], ...queries: Query[]): Promise<string> {
  const parts: Buffer[] = []
  await pipeline(
    Readable.from(chunks),
    matchingLines(queries, { baseUrl: BASE, type: 'Observation' }),
    async (found: AsyncIterable<Buffer>) => {
      for await (const part of found) parts.push(part)
    },
  )
  return Buffer.concat(parts).toString('utf8')
}

test('the lines that a search finds are passed on as they are', async () => {
  const lines = [observation('a', 'final'), observation('b', 'amended'), observation('c', 'final')]

  expect(await passed([Buffer.from(lines.join(''))], search(['status', 'final']))).toBe(
    `${lines[0]}${lines[2]}`,
  )
})

test('of several searches one is enough', async () => {
  const lines = [
    observation('a', 'final'),
    observation('b', 'amended'),
    observation('c', 'unknown'),
  ]

  expect(
    await passed(
      [Buffer.from(lines.join(''))],
      search(['status', 'final']),
      search(['status', 'amended']),
    ),
  ).toBe(`${lines[0]}${lines[1]}`)
})

test('where the chunks are cut makes no difference, not even inside a character', async () => {
  // U+2028 ends a line elsewhere, but not here.
  const lines = [
    observation('a', 'final', 'Zoë 🦶 one\u2028two'),
    observation('b', 'amended', 'ß\u2029'),
    observation('c', 'final', '足'),
  ]
  const bytes = Buffer.from(lines.join(''))
  await assert(
    asyncProperty(array(nat(bytes.length), { maxLength: 12 }), async (cuts) => {
      const at = [0, ...cuts.toSorted((a, b) => a - b), bytes.length]
      const chunks = at.slice(1).map((end, index) => bytes.subarray(at[index], end))

      const found = await passed(
        chunks.filter(({ length }) => length > 0),
        search(['status', 'final']),
      )

      expect(found).toBe(`${lines[0]}${lines[2]}`)
    }),
    { numRuns: 100 },
  )
})

test('a line that is no JSON fails rather than being left out', async () => {
  await expect(passed([Buffer.from('{\n')], search(['status', 'final']))).rejects.toThrow(
    'A stored resource is not JSON',
  )
})
