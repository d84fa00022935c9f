import { type InstantRange, instantRange, periodRange } from './date-range.ts'
import { isObject, valuesAt } from './element.ts'
import { ownTarget } from './literal-reference.ts'
import { rowOf } from './registry.ts'
import type { ResourceTypeRow } from './registry-row.ts'
import type { SearchParam } from './search-params.ts'

export interface TokenValue {
  readonly param: string
  /** '' when the coding has none. */
  readonly system: string
  readonly code: string
}
export interface ReferenceValue {
  readonly param: string
  readonly targetType: string
  readonly targetId: string
}
export interface StringValue {
  readonly param: string
  readonly value: string
}

/** What a resource can be found by: the typed columns, and the rows of the narrow tables. */
export interface SearchValues {
  readonly patientId?: string
  readonly code?: { readonly system: string; readonly code: string }
  readonly status?: string
  readonly date?: InstantRange
  readonly tokens: readonly TokenValue[]
  readonly references: readonly ReferenceValue[]
  readonly strings: readonly StringValue[]
}

/** The longest text that is compared in a search; an index entry of PostgreSQL has a limit. */
export const MAX_INDEXED_LENGTH = 256

export const indexed = (text: string): string => text.slice(0, MAX_INDEXED_LENGTH)

/** Lower case without accents: strings are compared so. */
export const folded = (text: string): string =>
  indexed(text.normalize('NFD').replaceAll(/\p{M}/gu, '').toLowerCase())

/** @param baseUrl ours: only references to it are indexed as resources of this service */
export function searchValues(
  { type, id, baseUrl }: { readonly type: string; readonly id: string; readonly baseUrl: string },
  resource: object,
): SearchValues {
  const row = rowOf(type)
  const params = row?.search ?? []
  const of = (kind: SearchParam['kind']) => params.filter((param) => param.kind === kind)
  const tokens = unique(of('token').flatMap((param) => tokensOf(param, resource)))
  const references = unique(
    of('reference').flatMap((param) => referencesOf(param, resource, baseUrl)),
  )
  const strings = unique(of('string').flatMap((param) => stringsOf(param, resource)))
  const typed = (column: string) => params.find((param) => param.column === column)?.name

  const code = tokens.find((token) => token.param === typed('code'))
  const status = tokens.find((token) => token.param === typed('status'))
  const patient = references.find(
    (value) => value.param === typed('patient') && value.targetType === 'Patient',
  )
  const date = dateOf(row, resource)
  const patientId = type === 'Patient' ? id : patient?.targetId
  return {
    ...(patientId === undefined ? {} : { patientId }),
    ...(code === undefined ? {} : { code: { system: code.system, code: code.code } }),
    ...(status === undefined ? {} : { status: status.code }),
    ...(date === undefined ? {} : { date }),
    tokens: tokens.filter((token) => token !== code && token !== status),
    references: references.filter((value) => value !== patient),
    strings,
  }
}

function dateOf(row: ResourceTypeRow | undefined, resource: object): InstantRange | undefined {
  const param = row?.search.find((entry) => entry.column === 'date')
  for (const path of param?.paths ?? [])
    for (const value of valuesAt(resource, path)) {
      if (typeof value === 'string') return instantRange(value)
      if (isObject(value)) return periodRange(value['start'], value['end'])
    }
  return undefined
}

const at = (param: SearchParam, resource: object): unknown[] =>
  param.paths.flatMap((path) => valuesAt(resource, path))

function tokensOf(param: SearchParam, resource: object): TokenValue[] {
  const token = (system: unknown, code: unknown): TokenValue[] =>
    typeof code === 'string'
      ? [
          {
            param: param.name,
            system: typeof system === 'string' ? indexed(system) : '',
            code: indexed(code),
          },
        ]
      : []
  return at(param, resource).flatMap((value) => {
    if (typeof value === 'string' || typeof value === 'boolean') return token('', String(value))
    if (!isObject(value)) return []
    if (Array.isArray(value['coding']))
      return value['coding'].flatMap((coding) =>
        isObject(coding) ? token(coding['system'], coding['code']) : [],
      )
    // Identifier and ContactPoint carry `value`, Coding carries `code`.
    return token(value['system'], value['value'] ?? value['code'])
  })
}

function referencesOf(param: SearchParam, resource: object, baseUrl: string): ReferenceValue[] {
  return at(param, resource).flatMap((value) => {
    const target = isObject(value) ? ownTarget(value['reference'], baseUrl) : undefined
    return target === undefined
      ? []
      : [{ param: param.name, targetType: target.type, targetId: target.id }]
  })
}

function stringsOf(param: SearchParam, resource: object): StringValue[] {
  return at(param, resource).flatMap((value) =>
    typeof value === 'string' ? [{ param: param.name, value: folded(value) }] : [],
  )
}

const unique = <T>(values: readonly T[]): T[] => [
  ...new Map(values.map((value) => [JSON.stringify(value), value])).values(),
]
