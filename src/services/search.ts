import { type Handling, parseQuery, type Query, writeCursor } from '../fhir/query.ts'
import type { Caller } from '../security/access-token.ts'
import { countMatches, searchPage } from '../storage/search.ts'
import type { Tx } from '../storage/transaction.ts'
import { searchSetOf } from './bundle-text.ts'
import type { Context } from './context.ts'
import { keptType } from './resources.ts'
import { unitOfWork } from './unit-of-work.ts'
import type { Kept } from './write.ts'

export interface SearchRequest {
  readonly type: string
  readonly parameters: readonly (readonly [string, string])[]
  readonly handling: Handling
}

/** @returns a searchset Bundle as JSON */
export function search(context: Context, caller: Caller, request: SearchRequest): Promise<string> {
  const { type } = request
  keptType(type)
  return unitOfWork(context, caller, [{ type, letter: 's' }], (tx) =>
    searchIn(tx, context, caller, request),
  )
}

/** The same inside a unit of work. */
export async function searchIn(
  tx: Tx,
  context: Context,
  { clinicId }: Caller,
  { type, parameters, handling }: SearchRequest,
): Promise<string> {
  const query = parseQuery(keptType(type), parameters, { handling, baseUrl: context.baseUrl })
  if (query.count === 0) {
    const total = await countMatches(tx, clinicId, query)
    return searchSetOf({ ...linksOf(context, query, undefined), total, found: [] })
  }
  const { found, more } = await searchPage(tx, clinicId, query)
  const last = more ? found.at(-1) : undefined
  const whole = !more && query.cursor === undefined
  return searchSetOf({
    ...linksOf(context, query, last),
    total: whole ? found.length : undefined,
    found,
  })
}

function linksOf({ baseUrl }: Context, query: Query, last: Kept | undefined) {
  const url = (pairs: readonly (readonly [string, string])[]) => {
    const text = new URLSearchParams(
      pairs.map(([name, value]): [string, string] => [name, value]),
    ).toString()
    return text === '' ? `${baseUrl}/${query.type}` : `${baseUrl}/${query.type}?${text}`
  }
  const next = last === undefined ? undefined : url([...query.used, ['_cursor', writeCursor(last)]])
  return { baseUrl, self: url(query.used), next }
}
