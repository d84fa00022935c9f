import { bareCode, isBare } from './bare-tokens.ts'
import { pathOfPair, tokenFirst } from './pair-values.ts'
import { type Place, placeFilter } from './query-filters.ts'
import { type Given, refuse } from './query-reading.ts'
import { split } from './query-values.ts'
import type { Part } from './r4/search-line.ts'
import type { Filter, PairCriterion, TokenCriterion } from './search-filter.ts'
import type { SearchParam } from './search-params.ts'

/** Both halves, joined by a dollar, are true of one and the same element (3.1.1.4.17). */
export function compositeFilter(
  param: SearchParam,
  texts: readonly string[],
  given: Given,
): Filter | undefined {
  const filters: Filter[] = []
  for (const text of texts) {
    const halves = split(text, '$')
    const [first = '', second = '', ...more] = halves
    if (first === '' || second === '' || more.length > 0)
      return refuse(given, 'value', 'Two values are joined by a dollar.')
    const found = halvesFilters(param, [first, second], given)
    if (found === undefined) return undefined
    filters.push(...found)
  }
  return { kind: 'any', filters }
}

function halvesFilters(
  { anchors, parts, ...param }: SearchParam,
  halves: readonly [string, string],
  given: Given,
): Filter[] | undefined {
  const read = parts.map((part, index) =>
    placeFilter(placeOf(part), [halves[index] ?? ''], undefined, given),
  )
  const filters = read.flatMap((filter) => filter ?? [])
  if (filters.length < parts.length) return undefined
  const paths = anchors
    .filter((anchor) => anchor !== '')
    .map((anchor) => pathOfPair({ ...param, anchors, parts }, anchor))
  const [tokens, others] = tokenFirst(parts)[0] === parts[0] ? filters : filters.toReversed()
  const values = pairsOf(tokens, others)
  return [
    // What is true of the resource itself is found by both halves alone.
    ...(anchors.includes('') ? [{ kind: 'all' as const, filters }] : []),
    ...(paths.length === 0 || values.length === 0
      ? []
      : [{ kind: 'pair' as const, paths, values }]),
  ]
}

function placeOf({ kind, atoms }: Part): Place {
  if (kind === 'composite') throw new Error('The half of a composite is no composite')
  return { kind, atoms }
}

/** None when a half can match nothing; several when the second one has alternatives, as units are. */
function pairsOf(first: Filter | undefined, other: Filter | undefined): PairCriterion[] {
  const token = first?.kind === 'token' ? tokenOf(first) : undefined
  if (token === undefined) return []
  return secondsOf(other).map((second) => ({ ...token, second }))
}

/** Of a code without its system, which the resource does not repeat; undefined when nothing meets it. */
function tokenOf({
  atoms: [atom],
  values: [value],
}: Extract<Filter, { kind: 'token' }>): TokenCriterion | undefined {
  if (value === undefined || atom === undefined || !isBare(atom)) return value
  const asked = bareCode(atom, value)
  return asked === 'any' ? {} : asked
}

function secondsOf(filter: Filter | undefined): PairCriterion['second'][] {
  switch (filter?.kind) {
    case 'token': {
      const value = tokenOf(filter)
      return value === undefined ? [] : [{ kind: 'token', value }]
    }
    case 'quantity':
      return filter.values.map((value) => ({ kind: 'quantity', value }))
    case 'reference':
      return filter.values.map((value) => ({ kind: 'reference', value }))
    default:
      return []
  }
}
