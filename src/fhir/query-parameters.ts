import { compositeFilter } from './query-composites.ts'
import { DATE, missingFilter, placeFilter } from './query-filters.ts'
import { dateCriterion } from './query-ranges.ts'
import { type Given, MAX_STEPS, MAX_VALUES, refuse, refuseModifier } from './query-reading.ts'
import { isWellWritten, splitValues, unescaped } from './query-values.ts'
import { rowOf } from './registry.ts'
import type { ResourceTypeRow } from './registry-row.ts'
import { type Filter, type HasFilter, hasFilters } from './search-filter.ts'
import type { SearchParam } from './search-params.ts'

/** The parameter is not one of this type. */
export const UNKNOWN = Symbol('unknown parameter')

export const paramOf = (row: ResourceTypeRow, name: string): SearchParam | undefined =>
  row.search.find(({ code }) => code === name)

/** `code`, `code:modifier`, `reference.name`, `reference:Type.name` or `_has:Type:reference:name`. */
export function filterOf(
  row: ResourceTypeRow,
  name: string,
  given: Given,
  steps = 0,
): Filter | typeof UNKNOWN | undefined {
  if (steps > MAX_STEPS)
    return refuse(given, 'too-costly', `A chain has at most ${MAX_STEPS} steps.`)
  if (name.startsWith('_has:')) return hasFilter(row, name, given, steps)
  const dot = name.indexOf('.')
  if (dot >= 0) return chainFilter(row, [name.slice(0, dot), name.slice(dot + 1)], given, steps)
  const [code = '', modifier, ...more] = name.split(':')
  const param = paramOf(row, code)
  if (param === undefined && code !== '_id' && code !== '_lastUpdated') return UNKNOWN
  if (more.length > 0) return refuseModifier(given, [modifier, ...more].join(':'))
  if (!isWellWritten(given.value))
    return refuse(
      given,
      'value',
      'A backslash stands before a comma, a dollar, a pipe or a backslash; no NUL is taken.',
    )
  const texts = splitValues(given.value)
  if (texts.length > MAX_VALUES)
    return refuse(given, 'too-costly', `A parameter has at most ${MAX_VALUES} values.`)
  return param === undefined
    ? resourceFilter(code, texts, modifier, given)
    : paramFilter(param, texts, modifier, given)
}

function paramFilter(
  param: SearchParam,
  texts: readonly string[],
  modifier: string | undefined,
  given: Given,
): Filter | undefined {
  const { kind, atoms } = param
  const targets = targetsOf(param)
  if (kind !== 'composite') return placeFilter({ kind, atoms, targets }, texts, modifier, given)
  if (modifier !== undefined) return refuseModifier(given, modifier)
  return compositeFilter(param, texts, given)
}

/** `_id` and `_lastUpdated`, which every resource has. */
function resourceFilter(
  code: string,
  texts: readonly string[],
  modifier: string | undefined,
  given: Given,
): Filter | undefined {
  if (modifier === 'missing') {
    const filter = missingFilter({ kind: 'token', atoms: [] }, texts, given)
    if (filter?.kind !== 'missing') return undefined
    return filter.missing ? { kind: 'any', filters: [] } : { kind: 'all', filters: [] }
  }
  if (modifier !== undefined) return refuseModifier(given, modifier)
  if (code === '_id') return { kind: 'id', ids: texts.map(unescaped) }
  const values = texts.map((text) => dateCriterion(text, given.reading.now))
  return values.every((value) => value !== undefined)
    ? { kind: 'last-updated', values }
    : refuse(given, 'value', DATE)
}

function chainFilter(
  row: ResourceTypeRow,
  [head, rest]: readonly [string, string],
  given: Given,
  steps: number,
): Filter | typeof UNKNOWN | undefined {
  const [code = '', type, ...more] = head.split(':')
  const param = paramOf(row, code)
  if (param === undefined) return UNKNOWN
  if (param.kind !== 'reference' || more.length > 0)
    return refuse(given, 'not-supported', 'Only a reference can be followed.')
  const types = followedTypes(param, type)
  if (types === undefined) return refuse(given, 'invalid', 'Name the type: reference:Type.name.')
  const faultsBefore = given.faults.length
  const filters: Filter[] = []
  for (const target of types) {
    const next = rowOf(target)
    if (next === undefined) continue
    const filter = filterOf(next, rest, given, steps + 1)
    if (given.faults.length > faultsBefore) return undefined
    if (filter === UNKNOWN || filter === undefined) continue
    filters.push(...leadingTo(next, param, filter, given))
  }
  if (filters.length === 0)
    return refuse(given, 'not-supported', 'What this leads to cannot be searched so.')
  const [only] = filters
  return filters.length === 1 && only !== undefined ? only : { kind: 'any', filters }
}

/** To what is kept, by its index; to what the service publishes, which is known here already, by its names. */
function leadingTo(
  { type, published }: ResourceTypeRow,
  { atoms }: SearchParam,
  filter: Filter,
  { reading: { publishedBy } }: Given,
): Filter[] {
  const values = publishedBy?.(type, filter) ?? []
  const isKnown = publishedBy !== undefined && hasFilters([filter]).length === 0
  const isAsked = published === true ? isKnown : values.length > 0
  return [
    ...(published === true ? [] : [{ kind: 'chain' as const, atoms, type, filter }]),
    ...(isAsked ? [{ kind: 'reference' as const, atoms, values }] : []),
  ]
}

function followedTypes(
  param: SearchParam,
  type: string | undefined,
): readonly string[] | undefined {
  const targets = targetsOf(param)
  if (targets.length === 0) return type === undefined ? undefined : [type]
  return targets.filter((target) => type === undefined || target === type)
}

/** What a reference parameter may lead to; empty for everything. */
export function targetsOf({ targets, atoms }: SearchParam): readonly string[] {
  // The expression may leave less than the definition names: `patient` is about a Patient alone.
  const isRestricted = atoms.every((atom) => atom.targets.length > 0)
  return [...new Set(isRestricted ? atoms.flatMap((atom) => atom.targets) : targets)]
}

function hasFilter(
  row: ResourceTypeRow,
  name: string,
  given: Given,
  steps: number,
): Filter | undefined {
  const [, type = '', code = '', rest] = /^_has:([^:]+):([^:]+):(.+)$/s.exec(name) ?? []
  const other = rowOf(type)
  const param = other === undefined ? undefined : paramOf(other, code)
  if (other === undefined || rest === undefined)
    return refuse(given, 'invalid', '_has is written _has:Type:reference:parameter.')
  if (param?.kind !== 'reference' || !mayLeadTo(param, row.type))
    return refuse(given, 'not-supported', `No such parameter of ${type} refers to a ${row.type}.`)
  const filter = filterOf(other, rest, given, steps + 1)
  if (filter === UNKNOWN) return refuse(given, 'not-supported', `${type} cannot be searched so.`)
  if (filter === undefined) return undefined
  const has = { kind: 'has' as const, type, atoms: param.atoms, filter }
  return other.published === true ? publishedHas(row, has, given) : has
}

/** What is published refers only to what is published too, and is known here already. */
function publishedHas({ type }: ResourceTypeRow, has: HasFilter, given: Given): Filter | undefined {
  const { publishedIdsBy } = given.reading
  if (publishedIdsBy === undefined || hasFilters([has.filter]).length > 0)
    return refuse(given, 'not-supported', `${has.type} cannot be searched so.`)
  return { kind: 'id', ids: publishedIdsBy(type, has) }
}

const mayLeadTo = (param: SearchParam, type: string): boolean => {
  const targets = targetsOf(param)
  return targets.length === 0 || targets.includes(type)
}
