import { AppError, type Fault } from '../errors.ts'
import { instantRange } from './date-range.ts'
import type { ResourceTypeRow } from './registry-row.ts'
import type { SearchParam } from './search-params.ts'
import {
  dateCriterion,
  type DateCriterion,
  LONE_BACKSLASH,
  parameterFault,
  referenceCriterion,
  type ReferenceCriterion,
  splitValues,
  tokenCriterion,
  type TokenCriterion,
  unescaped,
} from './query-values.ts'
import { folded } from './search-text.ts'

export const MAX_PAGE = 200
export const DEFAULT_PAGE = 50

/** One parameter of a search; its values are alternatives. */
export type Filter =
  | { readonly kind: 'id'; readonly ids: readonly string[] }
  | {
      readonly kind: 'token'
      readonly param: SearchParam
      readonly values: readonly TokenCriterion[]
    }
  | {
      readonly kind: 'reference'
      readonly param: SearchParam
      readonly values: readonly ReferenceCriterion[]
    }
  | {
      readonly kind: 'date'
      readonly param: SearchParam | 'last-updated'
      readonly values: readonly DateCriterion[]
    }
  | { readonly kind: 'string'; readonly param: SearchParam; readonly prefixes: readonly string[] }

/** Where the page before ended: newest first, ties broken by id. */
export interface Cursor {
  readonly updatedAt: string
  readonly id: string
}

export interface Query {
  readonly type: string
  /** All must hold. */
  readonly filters: readonly Filter[]
  readonly count: number
  readonly cursor?: Cursor
  /** The parameters that were really used, for the self link. */
  readonly used: readonly (readonly [string, string])[]
}

/** How a search parameter that we do not know is treated. */
export type Handling = 'strict' | 'lenient'

type Pair = readonly [name: string, value: string]

/** How the parameters of a search are read. */
export interface Reading {
  readonly handling: Handling
  /** Ours: a reference is found by `Type/id` and by its absolute URL below this base. */
  readonly baseUrl: string
}

/** Parses the parameters of a type search. Throws AppError with every fault. */
export function parseQuery(
  row: ResourceTypeRow,
  pairs: readonly Pair[],
  { handling, baseUrl }: Reading,
): Query {
  const faults: Fault[] = []
  const filters: Filter[] = []
  const used: Pair[] = []
  let count = DEFAULT_PAGE
  let cursor: Cursor | undefined

  for (const [name, value] of pairs) {
    if (value === '' || name === '_format' || name === '_pretty') continue
    if (name === '_count') count = pageSize(value, faults)
    else if (name === '_cursor') cursor = parseCursor(value, faults)
    else {
      const before = faults.length
      const filter = parseFilter(row, { name, value, baseUrl }, faults)
      if (filter !== undefined) filters.push(filter)
      else if (faults.length === before && handling === 'strict')
        faults.push(unknownParameter(name, row))
      if (filter === undefined) continue
    }
    if (name !== '_cursor') used.push([name, value])
  }
  if (faults.length > 0)
    throw new AppError('invalid-request', 'The search cannot be executed.', faults)
  return { type: row.type, filters, count, used, ...(cursor === undefined ? {} : { cursor }) }
}

function parseFilter(
  row: ResourceTypeRow,
  { name: fullName, value, baseUrl }: { name: string; value: string; baseUrl: string },
  faults: Fault[],
): Filter | undefined {
  const [name = '', modifier] = fullName.split(':')
  const param = row.search.find((entry) => entry.code === name)
  const known = param !== undefined || name === '_id' || name === '_lastUpdated'
  if (!known) return undefined
  if (modifier !== undefined && !(param?.kind === 'reference' && /^[A-Z]/.test(modifier))) {
    faults.push(
      parameterFault(fullName, 'not-supported', `The modifier :${modifier} is not supported here.`),
    )
    return undefined
  }
  if (value.includes('\0') || LONE_BACKSLASH.test(value)) {
    const text =
      'A backslash stands before a comma, a dollar, a pipe or a backslash; no NUL is taken.'
    faults.push(parameterFault(fullName, 'value', text))
    return undefined
  }
  const values = splitValues(value)
  if (name === '_id') return { kind: 'id', ids: values.map(unescaped) }
  if (param === undefined || param.kind === 'date')
    return {
      kind: 'date',
      param: param ?? 'last-updated',
      values: values.flatMap((text) => dateCriterion(name, text, faults) ?? []),
    }
  if (param.kind === 'token') return { kind: 'token', param, values: values.map(tokenCriterion) }
  if (param.kind === 'string')
    return { kind: 'string', param, prefixes: values.map((text) => folded(unescaped(text))) }
  return {
    kind: 'reference',
    param,
    values: values.flatMap(
      (text) => referenceCriterion(unescaped(text), { modifier, baseUrl }) ?? [],
    ),
  }
}

function pageSize(value: string, faults: Fault[]): number {
  if (/^\d{1,6}$/.test(value)) return Math.min(Number(value), MAX_PAGE)
  faults.push(parameterFault('_count', 'value', '_count must be a whole number, 0 or more.'))
  return DEFAULT_PAGE
}

const CURSOR = /^([12]\d{3}-[0-9T:.Z-]{15,25})~([A-Za-z0-9\-.]{1,64})$/

export const writeCursor = (cursor: Cursor): string =>
  Buffer.from(`${cursor.updatedAt}~${cursor.id}`).toString('base64url')

function parseCursor(value: string, faults: Fault[]): Cursor | undefined {
  const match = CURSOR.exec(Buffer.from(value, 'base64url').toString())
  const updatedAt = match?.[1]
  if (updatedAt !== undefined && match?.[2] !== undefined && instantRange(updatedAt) !== undefined)
    return { updatedAt, id: match[2] }
  faults.push(parameterFault('_cursor', 'value', 'This is not a link that this service made.'))
  return undefined
}

const unknownParameter = (name: string, row: ResourceTypeRow): Fault =>
  parameterFault(
    name,
    'not-supported',
    `Unknown search parameter. ${row.type} can be searched by ${['_id', '_lastUpdated', ...row.search.map((param) => param.code)].join(', ')}.`,
  )
