import { readdirSync, readFileSync } from 'node:fs'
import { relative, resolve } from 'node:path'
import { fileURLToPath } from 'node:url'
import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { parseAst } from 'vitest/node'
import { hanging, type NearMiss } from './helpers/pattern-run.ts'

// No regular expression of ours goes over a text more than a few times, whatever the text.

const SRC = fileURLToPath(new URL('../src', import.meta.url))

interface Pattern {
  readonly source: string
  readonly flags: string
  readonly file: string
}

/** Every literal between slashes, found in the syntax tree: a division is none. */
function patternsIn(file: string): Pattern[] {
  const found: Pattern[] = []
  const walk = (node: unknown): void => {
    if (typeof node !== 'object' || node === null) return
    const regex: unknown = Reflect.get(node, 'regex')
    if (typeof regex === 'object' && regex !== null && 'pattern' in regex && 'flags' in regex)
      found.push({
        source: String(regex.pattern),
        flags: String(regex.flags),
        file: relative(SRC, file),
      })
    for (const member of Object.values(node)) walk(member)
  }
  walk(parseAst(readFileSync(file, 'utf8'), { lang: 'ts' }))
  return found
}

const patterns = readdirSync(SRC, { recursive: true, withFileTypes: true })
  .filter((entry) => entry.isFile() && entry.name.endsWith('.ts'))
  .map((entry) => resolve(entry.parentPath, entry.name))
  // Scripts that make sources from the official definitions read nothing that anybody sends.
  .filter((file) => !/\/generate[a-z-]*\.ts$/.test(file))
  .flatMap(patternsIn)

const CHARACTERS = [
  ' ',
  '\t',
  '\n',
  'a',
  'A',
  '0',
  '.',
  '-',
  '/',
  '\\',
  '"',
  ',',
  '=',
  '<',
  ':',
  'é',
]
const SPOILERS = ['\u0000', '!', '"\n']
const SEED = 20_261_126

/** What the pattern matches, as far as it can be generated. */
function matching({ source, flags }: Pattern): string[] {
  try {
    const texts = fc.stringMatching(new RegExp(source, flags.replaceAll(/[gyimv]/g, '')))
    return fc.sample(texts, { numRuns: 3, seed: SEED }).map((text) => text.slice(0, 40))
  } catch {
    return []
  }
}

function nearMisses(pattern: Pattern): NearMiss[] {
  const { source, flags } = pattern
  const miss = (before: string, pumped: string, after: string): NearMiss => ({
    source,
    flags,
    before,
    pumped,
    after,
  })
  const repeated = CHARACTERS.map((character, index) =>
    miss('', character, SPOILERS[index % SPOILERS.length] ?? ''),
  )
  const grown = matching(pattern).flatMap((text) =>
    Array.from({ length: Math.min(text.length, 12) }, (_, at) =>
      [1, 2].map((size) =>
        miss(text.slice(0, at), text.slice(at, at + size) || ' ', SPOILERS[at % 3] ?? ''),
      ),
    ).flat(),
  )
  return [...repeated, ...grown]
}

test('patterns are found where they stand, and only there', () => {
  const names = new Set(patterns.map(({ source }) => source))

  expect(patterns.length).toBeGreaterThan(150)
  expect(names).toContain('^[A-Za-z0-9\\-.]{1,64}$')
  expect(patterns.every(({ source, flags }) => new RegExp(source, flags))).toBe(true)
})

test('a pattern that takes ever longer is seen', async () => {
  const bad = { source: '^(a+)+$', flags: '', before: '', pumped: 'a', after: '!' }

  expect(await hanging([bad])).toEqual([bad])
})

test('no pattern holds the process on a text of 100,000 characters that it nearly matches', async () => {
  const held = await hanging(patterns.flatMap(nearMisses))

  const told = held.map(({ source, flags, before, pumped, after }) => {
    const file = patterns.find((one) => one.source === source && one.flags === flags)?.file
    return `${file}: /${source}/${flags} on ${JSON.stringify([before, pumped, after])}`
  })
  expect(told).toEqual([])
}, 300_000)
