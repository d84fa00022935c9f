import { parseQuery } from '../fhir/query.ts'
import type { Handling } from '../fhir/query-reading.ts'
import type { Context } from './context.ts'
import { publishedMatches } from './published.ts'
import { keptType } from './resources.ts'
import { readingOf } from './search-plan.ts'
import { searchSetOf } from './search-set.ts'

export interface PublishedSearch {
  readonly type: string
  readonly parameters: readonly (readonly [string, string])[]
  readonly handling: Handling
}

const CURSOR = '_cursor'

/**
 * A search of what the service publishes about itself, in the order of ids; open to everybody.
 *
 * @returns a searchset Bundle as JSON
 */
export function publishedSet(
  context: Context,
  { type, parameters, handling }: PublishedSearch,
): string {
  const after = parameters.find(([name]) => name === CURSOR)?.[1] ?? ''
  const asked = parameters.filter(([name]) => name !== CURSOR)
  const query = parseQuery(keptType(type), asked, { ...readingOf(context), handling })
  const all = publishedMatches(context, query)
  const rest = all.filter(({ id }) => id > after)
  const found = rest.slice(0, query.count)
  const last = found.length < rest.length ? found.at(-1) : undefined
  const link = (more: readonly (readonly [string, string])[]) => {
    const text = new URLSearchParams(
      [...query.used, ...more].map(([name, value]): [string, string] => [name, value]),
    )
    return [`${context.baseUrl}/${type}`, text.toString()].filter((part) => part !== '').join('?')
  }
  return searchSetOf({
    baseUrl: context.baseUrl,
    self: link([]),
    next: last === undefined ? undefined : link([[CURSOR, last.id]]),
    total: all.length,
    found,
    included: [],
    query,
  })
}
