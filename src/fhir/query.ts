import { AppError, type Fault } from '../errors.ts'
import { type InstantRange, instantRange } from './date-range.ts'
import type { ResourceTypeRow } from './registry.ts'
import type { SearchParam } from './search-params.ts'
import { folded, indexed, targetOf } from './search-values.ts'

export const MAX_PAGE = 200
export const DEFAULT_PAGE = 50

const DATE_PREFIXES = ['eq', 'ne', 'gt', 'lt', 'ge', 'le', 'sa', 'eb'] as const
export type DatePrefix = (typeof DATE_PREFIXES)[number]

export interface TokenCriterion {
  /** undefined: any system; '': no system at all. */
  readonly system?: string
  /** undefined: any code of the system. */
  readonly code?: string
}
export interface ReferenceCriterion {
  readonly type?: string
  readonly id: string
}
export interface DateCriterion extends InstantRange {
  readonly prefix: DatePrefix
}

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

/** Parses the parameters of a type search. Throws AppError with every fault. */
export function parseQuery(
  row: ResourceTypeRow,
  pairs: readonly Pair[],
  handling: Handling,
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
      const filter = parseFilter(row, name, value, faults)
      if (filter !== undefined) filters.push(filter)
      else if (faults.length === 0 && handling === 'strict')
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
  fullName: string,
  value: string,
  faults: Fault[],
): Filter | undefined {
  const [name = '', modifier] = fullName.split(':')
  const param = row.search.find((entry) => entry.name === name)
  const known = param !== undefined || name === '_id' || name === '_lastUpdated'
  if (!known) return undefined
  if (modifier !== undefined && !(param?.kind === 'reference' && /^[A-Z]/.test(modifier))) {
    faults.push(
      fault(fullName, 'not-supported', `The modifier :${modifier} is not supported here.`),
    )
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
    values: values.flatMap((text) => referenceCriterion(unescaped(text), modifier) ?? []),
  }
}

/** Commas separate alternatives; a backslash escapes comma, dollar, pipe and itself. */
const splitValues = (value: string): string[] => value.match(/(?:\\.|[^,\\])+/g) ?? []
const unescaped = (value: string): string => value.replaceAll(/\\([\\,$|])/g, '$1')

function tokenCriterion(text: string): TokenCriterion {
  const parts = text.match(/^((?:\\.|[^|\\])*)\|(.*)$/s)
  if (parts === null) return { code: indexed(unescaped(text)) }
  const [, system = '', code = ''] = parts
  return {
    system: indexed(unescaped(system)),
    ...(code === '' ? {} : { code: indexed(unescaped(code)) }),
  }
}

function referenceCriterion(text: string, modifier?: string): ReferenceCriterion | undefined {
  const target = targetOf(text)
  if (target !== undefined) return { type: target.type, id: target.id }
  if (!/^[A-Za-z0-9\-.]{1,64}$/.test(text)) return undefined
  return modifier === undefined ? { id: text } : { type: modifier, id: text }
}

function dateCriterion(name: string, text: string, faults: Fault[]): DateCriterion | undefined {
  const prefix = DATE_PREFIXES.find((known) => text.startsWith(known))
  // A raw plus sign of a zone reaches us as a space.
  const range = instantRange((prefix === undefined ? text : text.slice(2)).replace(' ', '+'))
  if (range !== undefined) return { prefix: prefix ?? 'eq', ...range }
  faults.push(
    fault(name, 'value', 'A date is written YYYY, YYYY-MM, YYYY-MM-DD or with time and zone.'),
  )
  return undefined
}

function pageSize(value: string, faults: Fault[]): number {
  if (/^\d{1,6}$/.test(value)) return Math.min(Number(value), MAX_PAGE)
  faults.push(fault('_count', 'value', '_count must be a whole number, 0 or more.'))
  return DEFAULT_PAGE
}

const CURSOR = /^([0-9T:.Z-]{20,30})~([A-Za-z0-9\-.]{1,64})$/

export const writeCursor = (cursor: Cursor): string =>
  Buffer.from(`${cursor.updatedAt}~${cursor.id}`).toString('base64url')

function parseCursor(value: string, faults: Fault[]): Cursor | undefined {
  const match = CURSOR.exec(Buffer.from(value, 'base64url').toString())
  const updatedAt = match?.[1]
  if (updatedAt !== undefined && match?.[2] !== undefined && instantRange(updatedAt) !== undefined)
    return { updatedAt, id: match[2] }
  faults.push(fault('_cursor', 'value', 'This is not a link that this service made.'))
  return undefined
}

const unknownParameter = (name: string, row: ResourceTypeRow): Fault =>
  fault(
    name,
    'not-supported',
    `Unknown search parameter. ${row.type} can be searched by ${['_id', '_lastUpdated', ...row.search.map((param) => param.name)].join(', ')}.`,
  )

const fault = (name: string, code: string, text: string): Fault => ({
  severity: 'error',
  code,
  expression: /^[a-z_]+$/i.test(name) ? `http.${name}` : `http."${name}"`,
  rule: 'search-parameter',
  text,
})
