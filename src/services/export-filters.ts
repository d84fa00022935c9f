import { AppError } from '../errors.ts'
import { parseCondition, type Query } from '../fhir/query.ts'
import { rowOf } from '../fhir/registry.ts'
import type { Context } from './context.ts'

/** A search that narrows what is exported of a type. */
export interface ReadFilter {
  readonly type: string
  readonly query: Query
}

/** Reads the filters of an export. Throws AppError for one that is no search of a type that is asked for. */
export function readFilters(
  { baseUrl, now }: Context,
  { types, filters }: { readonly types: readonly string[]; readonly filters: readonly string[] },
): ReadFilter[] {
  return filters.map((filter) => {
    const [, type = '', query = ''] = /^([A-Za-z]+)\?(.*)$/s.exec(filter) ?? []
    const row = rowOf(type)
    if (row === undefined || !types.includes(type))
      throw refused('A filter is a search of a type that is exported: Observation?code=….')
    // Files are narrowed line by line, where other resources are not at hand.
    if (/[?&](?:_has\b|[\w-]+(?::[A-Z]\w*)?\.)/.test(`?${query}`))
      throw refused('A filter looks at the resource itself: no chain, no _has.')
    // Nor does a line say whose it is.
    if (/[?&]partner\b/.test(`?${query}`) && type === 'Task')
      throw refused('A filter looks at the resource itself, which does not say whose it is.')
    const reading = { baseUrl, now: now().toISOString() }
    return { type, query: parseCondition(row, [...new URLSearchParams(query)], reading) }
  })
}

const refused = (text: string): AppError =>
  new AppError('invalid-request', 'The export cannot be made.', [
    {
      severity: 'error',
      code: 'invalid',
      expression: 'http._typeFilter',
      rule: 'export-parameter',
      text,
    },
  ])
