import { readFileSync, writeFileSync } from 'node:fs'
import { z } from 'zod'
import { HEADER } from './generate-definitions.ts'

const OfficialStructures = z.object({
  types: z.array(
    z.object({
      type: z.string(),
      kind: z.string(),
      element: z.array(z.object({ path: z.string(), isSummary: z.boolean().optional() })),
    }),
  ),
})

/** What the folder of the official definitions does not hold, one line a type: `Type.part: names`. */
const Supplement = z.object({ source: z.string(), types: z.record(z.string(), z.string()) })

/** Kept by every subset, or by none; the table is of what differs. */
const ALWAYS = new Set(['id', 'meta', 'implicitRules', 'extension', 'modifierExtension'])

/** The text of summary-elements.ts. */
export function summaryText(structures: unknown, supplement: unknown): string {
  const rows = new Map<string, string[]>()
  const complex = OfficialStructures.parse(structures).types.filter(
    ({ kind }) => kind !== 'primitive-type',
  )
  for (const { type, element } of complex) {
    for (const { path, isSummary } of element) {
      const at = path.lastIndexOf('.')
      if (at < 0) continue
      const holder = path.slice(0, at)
      const names = rows.get(holder) ?? []
      if (isSummary === true && !ALWAYS.has(path.slice(at + 1))) names.push(path.slice(at + 1))
      rows.set(holder, names)
    }
    // A data type of which nothing is flagged is taken whole, wherever it is taken at all.
    if (rows.get(type)?.length === 0) rows.delete(type)
  }
  for (const [path, names] of Object.entries(Supplement.parse(supplement).types))
    rows.set(path, names.split(' '))
  return [
    HEADER,
    '/** The elements of each type and nested part that stand in its summary (isSummary). */',
    'export const SUMMARY_ELEMENTS: Readonly<Record<string, string>> = {',
    ...[...rows]
      .filter(([, names]) => names.length > 0)
      .toSorted(([a], [b]) => (a < b ? -1 : 1))
      .map(([path, names]) => `  ${quoted(path)}: \`${names.join(' ')}\`,`),
    '}',
    '',
  ].join('\n')
}

const quoted = (path: string): string => (path.includes('.') ? `'${path}'` : path)

/** A development script: the folder of the official definitions is its argument. */
if (process.argv[1]?.endsWith('generate-summary.ts') === true) {
  const folder = process.argv[2]
  if (folder === undefined) throw new Error('Name the folder of the official definitions')
  const json = (path: string | URL): unknown => JSON.parse(readFileSync(path, 'utf8'))
  writeFileSync(
    new URL('summary-elements.ts', import.meta.url),
    summaryText(
      json(`${folder}/structure-4.0.1.json`),
      json(new URL('summary-supplement.json', import.meta.url)),
    ),
  )
}
