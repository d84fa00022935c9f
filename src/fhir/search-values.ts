import { valuesOf } from './atom-values.ts'
import { spanOfValue } from './date-values.ts'
import { pairsOf } from './pair-values.ts'
import { quantitiesOf } from './quantity-values.ts'
import type { Atom, SearchKind } from './r4/search-line.ts'
import { canonicalOf, referenceValues } from './reference-values.ts'
import { rowOf } from './registry.ts'
import type { ResourceTypeRow } from './registry-row.ts'
import { NO_SEARCH_VALUES, type SearchValues } from './search-index.ts'
import { folded, indexed } from './search-text.ts'
import { tokensOf, tokenTexts } from './token-values.ts'

/** The places that a type is indexed by, each once however many parameters read it. */
interface Places {
  readonly atoms: readonly { readonly kind: SearchKind; readonly atom: Atom }[]
  readonly pairs: ResourceTypeRow['search']
  /** By its references to a Patient a resource belongs to a child. */
  readonly patient: ReadonlySet<string>
}

const PLACES = new Map<string, Places>()

function placesOf(row: ResourceTypeRow): Places {
  const known = PLACES.get(row.type)
  if (known !== undefined) return known
  const atoms = row.search.flatMap(({ kind, atoms: own }) => own.map((atom) => ({ kind, atom })))
  // Restricted to some targets or not, it is one place: the search looks at the target.
  const distinct = new Map(atoms.map((one) => [`${one.kind} ${one.atom.path}`, one]))
  const places: Places = {
    atoms: [...distinct.values()],
    pairs: row.search.filter(({ kind }) => kind === 'composite'),
    patient: new Set(
      row.search.find(({ code }) => code === 'patient')?.atoms.map(({ path }) => path) ?? [],
    ),
  }
  PLACES.set(row.type, places)
  return places
}

type Rows = { -readonly [Name in keyof SearchValues]: SearchValues[Name] } & {
  tokens: SearchValues['tokens'][number][]
  references: SearchValues['references'][number][]
  strings: SearchValues['strings'][number][]
  uris: SearchValues['uris'][number][]
  dates: SearchValues['dates'][number][]
  quantities: SearchValues['quantities'][number][]
  pairs: SearchValues['pairs'][number][]
}

/** @param baseUrl ours: only references to it are indexed as resources of this service */
export function searchValues(
  { type, id, baseUrl }: { readonly type: string; readonly id: string; readonly baseUrl: string },
  resource: object,
): SearchValues {
  const row = rowOf(type)
  if (row === undefined) return NO_SEARCH_VALUES
  const places = placesOf(row)
  const rows: Rows = {
    tokens: [],
    references: [],
    strings: [],
    uris: [],
    dates: [],
    quantities: [],
    pairs: [],
  }
  for (const { kind, atom } of places.atoms)
    for (const value of valuesOf(resource, atom)) add(rows, kind, atom, { value, baseUrl })
  rows.pairs.push(...places.pairs.flatMap((param) => pairsOf(param, resource, baseUrl)))
  const patients = rows.references.filter(
    ({ path, targetType }) => targetType === 'Patient' && places.patient.has(path),
  )
  const patientId = type === 'Patient' ? id : patients[0]?.targetId
  return withColumns(unique(rows), row, patientId)
}

function add(
  rows: Rows,
  kind: SearchKind,
  atom: Atom,
  { value, baseUrl }: { readonly value: unknown; readonly baseUrl: string },
): void {
  const { path } = atom
  switch (kind) {
    case 'token':
      rows.tokens.push(...tokensOf(atom, value))
      rows.strings.push(...tokenTexts(atom, value))
      break
    case 'reference': {
      const found = referenceValues(atom, value, baseUrl)
      rows.references.push(...found.references)
      rows.uris.push(...found.uris)
      rows.tokens.push(...found.tokens)
      break
    }
    case 'string':
      if (typeof value === 'string')
        rows.strings.push({ path, value: folded(value), exact: indexed(value) })
      break
    case 'uri':
      if (typeof value !== 'string') break
      rows.uris.push(
        atom.type === 'canonical'
          ? canonicalOf(path, value)
          : { path, value: indexed(value), version: '' },
      )
      break
    case 'date': {
      const span = spanOfValue(value)
      if (span !== undefined) rows.dates.push({ path, start: span.from, end: span.to })
      break
    }
    case 'quantity':
    case 'number':
      rows.quantities.push(...quantitiesOf(path, value))
      break
    case 'composite':
  }
}

/** Moves what has columns of its own out of the rows. */
function withColumns(
  rows: Rows,
  { columns }: ResourceTypeRow,
  patientId: string | undefined,
): SearchValues {
  const code = rows.tokens.find(({ path }) => path === columns.code)
  const status = rows.tokens.find(({ path }) => path === columns.status)
  const date = rows.dates.find(({ path }) => columns.date.includes(path))
  return {
    ...rows,
    tokens: rows.tokens.filter((row) => row !== code && row !== status),
    references: rows.references.filter(
      ({ path, targetType, targetId }) =>
        path !== columns.patient || targetType !== 'Patient' || targetId !== patientId,
    ),
    dates: rows.dates.filter((row) => row !== date),
    ...(patientId === undefined ? {} : { patientId }),
    ...(code === undefined ? {} : { code: { system: code.system, code: code.code } }),
    ...(status === undefined ? {} : { status: status.code }),
    ...(date === undefined ? {} : { date: { from: date.start, to: date.end } }),
  }
}

/** The same value twice at one place is one row. */
function unique(rows: Rows): Rows {
  const once = <T extends object>(values: readonly T[]): T[] =>
    values.length < 2
      ? [...values]
      : [...new Map(values.map((value) => [Object.values(value).join('\0'), value])).values()]
  return {
    ...rows,
    tokens: once(rows.tokens),
    references: once(rows.references),
    strings: once(rows.strings),
    uris: once(rows.uris),
    quantities: once(rows.quantities),
  }
}
