import { AppError } from '../errors.ts'
import { compartmentFilter, COMPARTMENT_ROWS } from '../fhir/compartment.ts'
import { parseQueries, type Query } from '../fhir/query.ts'
import type { Handling, Reading } from '../fhir/query-reading.ts'
import { parameterFault } from '../fhir/query-values.ts'
import { REGISTRY } from '../fhir/registry.ts'
import type { ResourceTypeRow } from '../fhir/registry-row.ts'
import type { Caller } from '../security/access-token.ts'
import { allows } from '../security/scopes.ts'
import type { Context } from './context.ts'
import { knownValueSet } from './known-value-sets.ts'
import { narrowingFilters } from './narrowed-search.ts'
import { namesOf, publishedMatches } from './published.ts'
import { publishedIdsBy } from './published-company.ts'
import { keptType } from './resources.ts'
import type { AddressedQuery } from './search-links.ts'

export interface SearchRequest {
  /** Undefined for all types: of the service, or of a compartment. */
  readonly type?: string
  /** In the compartment of this Patient alone. */
  readonly patientId?: string
  readonly parameters: readonly (readonly [string, string])[]
  readonly handling: Handling
}

/** How the parameters of any search are read here. */
export const readingOf = (context: Context): Omit<Reading, 'handling'> => ({
  baseUrl: context.baseUrl,
  now: context.now().toISOString(),
  codesOf: (valueSet) => knownValueSet(context, valueSet),
  publishedBy: (type, filter) =>
    publishedMatches(context, { searches: [{ type, filters: [filter] }] }).flatMap(namesOf),
  publishedIdsBy: (type, has) => publishedIdsBy(context, type, has),
})

/** What a request searches, at its address. Throws AppError when that cannot be. */
export function planOf(context: Context, caller: Caller, request: SearchRequest): AddressedQuery {
  const { type, patientId, parameters, handling } = request
  const rows = type === undefined ? rowsOf(caller, request) : [keptType(type)]
  const isNamed = type !== undefined
  const asked = isNamed ? parameters : parameters.filter(([name]) => name !== '_type')
  const query = parseQueries(rows, asked, { ...readingOf(context), handling })
  const searches = withinCompartment(query, rows, patientId)
  const used = isNamed
    ? query.used
    : [...parameters.filter(([name, value]) => name === '_type' && value !== ''), ...query.used]
  const path = [...(patientId === undefined ? [] : ['Patient', patientId]), type ?? ''].join('/')
  return {
    path: patientId !== undefined && type === undefined ? `${path}*` : path,
    query: { ...query, used, searches: withinGrant(context, caller, rows, searches) },
  }
}

/** The types of a search across types: those named in `_type`, or all that the token may search. */
function rowsOf(
  { scopes }: Caller,
  { parameters, patientId }: SearchRequest,
): readonly ResourceTypeRow[] {
  const offered = patientId === undefined ? REGISTRY : COMPARTMENT_ROWS
  const named = parameters.flatMap(([name, value]) => (name === '_type' ? value.split(',') : []))
  const types = [...new Set(named.filter((name) => name !== ''))]
  if (types.length > 0) return types.map((name) => namedRow(offered, name))
  const rows = offered.filter(
    (row) => row.published !== true && row.byNameOnly !== true && allows(scopes, row.type, 's'),
  )
  if (rows.length > 0) return rows
  throw new AppError('scope-missing', 'The token allows no search.')
}

function namedRow(offered: readonly ResourceTypeRow[], name: string): ResourceTypeRow {
  const row = offered.find(({ type }) => type === name)
  if (row !== undefined) return row
  throw new AppError('invalid-request', 'The search cannot be executed.', [
    parameterFault('_type', 'value', '_type names types that can be searched here.'),
  ])
}

const withinGrant = (
  context: Context,
  { scopes }: Caller,
  rows: readonly ResourceTypeRow[],
  searches: Query['searches'],
): Query['searches'] =>
  searches.map(({ type, filters }, index) => {
    const row = rows[index]
    const narrowing = row === undefined ? [] : narrowingFilters(scopes, row, readingOf(context))
    return { type, filters: [...filters, ...narrowing] }
  })

function withinCompartment(
  { searches }: Query,
  rows: readonly ResourceTypeRow[],
  patientId: string | undefined,
): Query['searches'] {
  if (patientId === undefined) return searches
  return searches.map(({ type, filters }, index) => {
    const row = rows[index]
    const within = row === undefined ? undefined : compartmentFilter(row, patientId)
    if (within === undefined)
      throw new AppError('not-found', 'This type is in no compartment of a Patient.')
    return { type, filters: [within, ...filters] }
  })
}
