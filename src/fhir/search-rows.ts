import type { SearchValues } from './search-index.ts'

type RowTables = Pick<
  SearchValues,
  'tokens' | 'references' | 'strings' | 'uris' | 'dates' | 'quantities' | 'pairs'
>

/** The rows of the index tables while they are collected from a resource. */
export type Rows = {
  readonly [Name in keyof RowTables]: RowTables[Name][number][]
}

/** Notes what a value is found by. */
export type Add = (rows: Rows, value: unknown, baseUrl: string) => void

export const emptyRows = (): Rows => ({
  tokens: [],
  references: [],
  strings: [],
  uris: [],
  dates: [],
  quantities: [],
  pairs: [],
})

/** Up to so many rows each is compared with those before it, which is quicker than making keys. */
const FEW = 24

/** The same value twice at one place is one row. */
export function withoutRepeats(rows: Rows): Rows {
  return {
    tokens: once(rows.tokens, (a, b) => a.code === b.code && a.system === b.system),
    references: once(
      rows.references,
      (a, b) => a.targetId === b.targetId && a.targetType === b.targetType,
    ),
    strings: once(rows.strings, (a, b) => a.exact === b.exact),
    uris: once(rows.uris, (a, b) => a.value === b.value && a.version === b.version),
    dates: once(rows.dates, (a, b) => a.start === b.start && a.end === b.end),
    quantities: once(rows.quantities, sameMembers),
    pairs: once(rows.pairs, sameMembers),
  }
}

function once<Row extends { readonly path: string }>(
  rows: Row[],
  same: (a: Row, b: Row) => boolean,
): Row[] {
  if (rows.length < 2) return rows
  if (rows.length > FEW) return [...new Map(rows.map((row) => [keyOf(row), row])).values()]
  const kept: Row[] = []
  for (const row of rows)
    if (!kept.some((other) => other.path === row.path && same(other, row))) kept.push(row)
  return kept
}

const keyOf = (row: object): string => Object.values(row).join('\0')
const sameMembers = (a: object, b: object): boolean => keyOf(a) === keyOf(b)
