import { type Given, MAX_INCLUDES, MAX_SORT_KEYS, refuse } from './query-reading.ts'
import { elementsOfType } from './element-place.ts'
import { paramOf, targetsOf } from './query-parameters.ts'
import { ANSWER_FORM, namesOf } from './asked-parameter.ts'
import { rowOf } from './registry.ts'
import type { ResourceTypeRow } from './registry-row.ts'
import { type ControlName, MAX_PAGE, SUMMARIES, TOTALS } from './search-asked.ts'
import type { SearchParam } from './search-params.ts'

export interface SortKey {
  readonly by: '_id' | '_lastUpdated' | SearchParam
  readonly direction: 'asc' | 'desc'
}

/** Resources that come along with the matches: what they refer to, or what refers to them. */
export interface Include {
  readonly kind: 'include' | 'revinclude'
  /** Of the resource that holds the reference. */
  readonly type: string
  readonly param: SearchParam
  /** Of the resource that is referred to; undefined for all. */
  readonly target?: string
  /** Also of what came along itself. */
  readonly iterate: boolean
}

export type Summary = (typeof SUMMARIES)[number]
export type Total = (typeof TOTALS)[number]

/** How the answer is to look. Filled while the parameters are read. */
export interface Controls {
  count: number
  sort: readonly SortKey[]
  total?: Total
  includes: Include[]
  summary?: Summary
  elements?: readonly string[]
  cursor?: string
}

/** Says nothing about the answer. */
const SKIPPED = new Set(namesOf(ANSWER_FORM))

/** @returns false when the parameter is none of these */
export function readControl(
  rows: readonly ResourceTypeRow[],
  given: Given,
  controls: Controls,
): 'used' | 'skipped' | undefined {
  const [name = '', modifier] = given.sentAs.split(/:(.*)/s)
  if (SKIPPED.has(name)) return 'skipped'
  const read = READERS.get(name)
  if (read === undefined) return undefined
  if (modifier !== undefined && !(name.endsWith('include') && modifier === 'iterate'))
    refuse(given, 'not-supported', `The modifier :${modifier} is not supported here.`)
  else read(rows, given, controls)
  return name === '_cursor' ? 'skipped' : 'used'
}

type Reader = (rows: readonly ResourceTypeRow[], given: Given, controls: Controls) => void

const READERS = new Map<string, Reader>(
  Object.entries({
    _count: (_rows, given, controls) => {
      if (/^\d+$/.test(given.value)) controls.count = Math.min(Number(given.value), MAX_PAGE)
      else refuse(given, 'value', '_count must be a whole number, 0 or more.')
    },
    _cursor: (_rows, { value }, controls) => {
      controls.cursor = value
    },
    _total: (_rows, given, controls) => {
      const total = TOTALS.find((known) => known === given.value)
      if (total === undefined) refuse(given, 'value', '_total is none, estimate or accurate.')
      else controls.total = total
    },
    _summary: (_rows, given, controls) => {
      const summary = SUMMARIES.find((known) => known === given.value)
      if (summary === undefined)
        refuse(given, 'value', '_summary is true, text, data, count or false.')
      else controls.summary = summary
    },
    _elements: (rows, given, controls) => {
      const names = given.value.split(',').filter((name) => name !== '')
      const isName = (name: string) => /^[A-Za-z][A-Za-z0-9]{0,63}$/.test(name)
      // What a lenient search names in vain is left out of nothing.
      const isFit = (name: string) =>
        isName(name) && (given.reading.handling === 'lenient' || isElement(rows, name))
      if (names.every(isFit)) controls.elements = [...(controls.elements ?? []), ...names]
      else refuse(given, 'value', '_elements names elements at the root of the resource.')
    },
    _sort: (rows, given, controls) => {
      controls.sort = [...controls.sort, ...sortKeys(rows, given)]
    },
    _include: (rows, given, controls) => include('include', rows, given, controls),
    _revinclude: (rows, given, controls) => include('revinclude', rows, given, controls),
  } satisfies Record<ControlName, Reader>),
)

/** Is it an element of one of the types, a choice with its type or without? */
const isElement = (rows: readonly ResourceTypeRow[], name: string): boolean =>
  rows.some(({ type }) =>
    elementsOfType(type).some(({ name: own }) =>
      own.endsWith('[x]') ? name.startsWith(own.slice(0, -'[x]'.length)) : own === name,
    ),
  )

function sortKeys(rows: readonly ResourceTypeRow[], given: Given): SortKey[] {
  const names = given.value.split(',').filter((name) => name !== '')
  if (names.length > MAX_SORT_KEYS)
    refuse(given, 'too-costly', `_sort names at most ${MAX_SORT_KEYS} parameters.`)
  return names.flatMap((name): SortKey[] => {
    const [code, direction] = name.startsWith('-')
      ? [name.slice(1), 'desc' as const]
      : [name, 'asc' as const]
    if (code === '_id' || code === '_lastUpdated') return [{ by: code, direction }]
    const [row, ...others] = rows
    const param = row === undefined || others.length > 0 ? undefined : paramOf(row, code)
    if (param !== undefined && param.kind !== 'composite') return [{ by: param, direction }]
    refuse(
      given,
      'value',
      others.length > 0
        ? 'Across several types _sort names _id or _lastUpdated, nothing else.'
        : '_sort names search parameters that have one value, or _id, _lastUpdated.',
    )
    return []
  })
}

function include(
  kind: Include['kind'],
  rows: readonly ResourceTypeRow[],
  given: Given,
  controls: Controls,
): void {
  const [type = '', code = '', target, ...more] = given.value.split(':')
  const row = rowOf(type)
  const param = row === undefined ? undefined : paramOf(row, code)
  if (param?.kind !== 'reference' || more.length > 0 || !mayPointTo(param, target)) {
    refuse(
      given,
      'not-supported',
      `_${kind} is Type:reference or Type:reference:Type, no wildcard.`,
    )
    return
  }
  if (controls.includes.length === MAX_INCLUDES) {
    refuse(given, 'too-costly', `At most ${MAX_INCLUDES} includes are taken.`)
    return
  }
  const iterate = given.sentAs.endsWith(':iterate')
  const named = target === undefined ? {} : { target }
  // Without :iterate only matches count, so what cannot be about one would bring nothing.
  const about = kind === 'include' ? type : target
  if (!iterate && about !== undefined && !rows.some((searched) => searched.type === about)) return
  controls.includes.push({ kind, type, param, iterate, ...named })
}

function mayPointTo(param: SearchParam, target: string | undefined): boolean {
  if (target === undefined) return true
  const targets = targetsOf(param)
  return rowOf(target) !== undefined && (targets.length === 0 || targets.includes(target))
}
