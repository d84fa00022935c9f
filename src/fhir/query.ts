import { AppError, type Fault } from '../errors.ts'
import { type Controls, type Include, readControl } from './query-controls.ts'
import { filterOf, targetsOf, UNKNOWN } from './query-parameters.ts'
import { type Given, MAX_PARAMETERS, type Pair, type Reading, refuse } from './query-reading.ts'
import { parameterFault } from './query-values.ts'
import { rowOf } from './registry.ts'
import type { ResourceTypeRow } from './registry-row.ts'
import { DEFAULT_PAGE, SEARCH_CONTROLS } from './search-asked.ts'
import { type Filter, typesOf } from './search-filter.ts'

/** What is asked of one type; all filters must hold. */
export interface TypeSearch {
  readonly type: string
  readonly filters: readonly Filter[]
}

export interface Query extends Readonly<Controls> {
  /** One of a search of a type; several of a search across types. */
  readonly searches: readonly TypeSearch[]
  /** Sent by the caller and not known: nothing came of it. */
  readonly ignored: readonly string[]
  /** The parameters that were really used, for the self link. */
  readonly used: readonly Pair[]
}

/** Free text, lists and the like: unknown to us, but `_query` must be refused (3.1.1.7). */
const NEVER = new Set(['_query'])

/** Parses the parameters of a search of one type. Throws AppError with every fault. */
export const parseQuery = (row: ResourceTypeRow, pairs: readonly Pair[], reading: Reading): Query =>
  parseQueries([row], pairs, reading)

/** The same for a search across types: a parameter is known when all of them have it. */
export function parseQueries(
  rows: readonly ResourceTypeRow[],
  pairs: readonly Pair[],
  reading: Reading,
): Query {
  const read: Read = {
    faults: [],
    controls: { count: DEFAULT_PAGE, sort: [], includes: [] },
    filters: rows.map(() => []),
    used: [],
    ignored: [],
  }
  const { faults, controls, filters } = read
  if (pairs.length > MAX_PARAMETERS)
    faults.push(
      parameterFault('', 'too-costly', `A search has at most ${MAX_PARAMETERS} parameters.`),
    )
  for (const [sentAs, value] of pairs.slice(0, MAX_PARAMETERS))
    if (value !== '') readParameter(rows, { sentAs, value, reading, faults }, read)
  refuseContradictions(controls, faults)
  if (faults.length > 0)
    throw new AppError('invalid-request', 'The search cannot be executed.', distinct(faults))
  const searches = rows.map(({ type }, index) => ({ type, filters: filters[index] ?? [] }))
  const { ignored } = read
  const used = usedOf(read)
  return { ...controls, searches, used, ignored, count: countOf(controls) }
}

/** Controls of which one value is taken, the last. */
const TAKEN_ONCE = new Set(['_count', '_total', '_summary'])

/** The self link says what was used (3.1.1.6), so once, and no more on a page than there may be. */
function usedOf({ used, controls }: Read): Pair[] {
  const lastOf = new Map(used.map(([name], index) => [name, index]))
  return used
    .filter(([name], index) => !TAKEN_ONCE.has(name) || lastOf.get(name) === index)
    .map(([name, value]) => [name, name === '_count' ? String(controls.count) : value])
}

/** What has been understood so far. */
interface Read {
  readonly faults: Fault[]
  readonly controls: Controls
  /** Of each type. */
  readonly filters: readonly Filter[][]
  readonly used: Pair[]
  readonly ignored: string[]
}

function readParameter(rows: readonly ResourceTypeRow[], given: Given, read: Read): void {
  const { sentAs, value, reading, faults } = given
  const control = readControl(rows, given, read.controls)
  if (control === 'used') read.used.push([sentAs, value])
  if (control !== undefined) return
  if (NEVER.has(sentAs)) {
    refuse(given, 'not-supported', 'There is no such named query.')
    return
  }
  const found = rows.map((row) => filterOf(row, sentAs, given))
  if (found.includes(UNKNOWN)) {
    if (reading.handling === 'strict') faults.push(unknownParameter(sentAs, rows))
    read.ignored.push(sentAs)
    return
  }
  for (const [index, filter] of found.entries())
    if (filter !== undefined && filter !== UNKNOWN) read.filters[index]?.push(filter)
  read.used.push([sentAs, value])
}

/** `_count=0` is `_summary=count` (3.1.1.5.2). */
const countOf = ({ count, summary }: Controls): number => (summary === 'count' ? 0 : count)

function refuseContradictions({ summary, elements, includes }: Controls, faults: Fault[]): void {
  if (elements !== undefined && summary !== undefined && !['count', 'false'].includes(summary))
    faults.push(
      parameterFault('_elements', 'invalid', 'Either _summary or _elements is given, not both.'),
    )
  if (summary === 'text' && includes.length > 0)
    faults.push(
      parameterFault('_summary', 'not-supported', '_summary=text comes without includes.'),
    )
}

/** Across types the same fault comes from each of them. */
const distinct = (faults: readonly Fault[]): Fault[] => [
  ...new Map(faults.map((fault) => [JSON.stringify(fault), fault])).values(),
]

const isControl = (name: string): boolean =>
  Object.hasOwn(SEARCH_CONTROLS, name.split(':', 1)[0] ?? '')

/**
 * A search that says which resource is meant: filters alone, at least one, all of them known (R4 3.1.0.4.3
 * and 3.1.0.11.2). Throws AppError with every fault.
 */
export function parseCondition(
  row: ResourceTypeRow,
  pairs: readonly Pair[],
  reading: Omit<Reading, 'handling'>,
): Query {
  const controls = pairs.filter(([name]) => isControl(name))
  if (controls.length > 0)
    throw new AppError(
      'invalid-request',
      'The condition cannot be used.',
      controls.map(([name]) =>
        parameterFault(name, 'not-supported', 'A condition has search filters only.'),
      ),
    )
  const query = parseQuery(row, pairs, { ...reading, handling: 'strict' })
  if (query.searches.every(({ filters }) => filters.length === 0))
    throw new AppError('invalid-request', 'The condition cannot be used.', [
      parameterFault('', 'invalid', 'A condition names what it looks for.'),
    ])
  return query
}

export interface TouchedType {
  readonly type: string
  readonly letter: 'r' | 's'
}

/**
 * The types that a search looks into: what is searched, also by a chain, needs the letter s; what may come
 * along is only read. What is published alone is open to everybody.
 */
export function typesTouched({ searches, includes }: Query): TouchedType[] {
  const searched = searches.flatMap(({ type, filters }) => [type, ...filters.flatMap(typesOf)])
  const included = includes.flatMap((include) => includedTypes(include))
  return [
    ...[...new Set(searched)].map((type) => ({ type, letter: 's' as const })),
    ...[...new Set(included)].map((type) => ({ type, letter: 'r' as const })),
  ].filter(({ type }) => rowOf(type)?.published !== true)
}

const includedTypes = ({ kind, type, target, param }: Include): readonly string[] =>
  kind === 'revinclude' ? [type] : target === undefined ? targetsOf(param) : [target]

const unknownParameter = (name: string, rows: readonly ResourceTypeRow[]): Fault => {
  const [row] = rows
  const known =
    rows.length === 1 && row !== undefined
      ? `${row.type} can be searched by ${['_id', '_lastUpdated', ...row.search.map(({ code }) => code)].join(', ')}.`
      : 'Across types a parameter must be one of all of them.'
  return parameterFault(name, 'not-supported', `Unknown search parameter. ${known}`)
}
