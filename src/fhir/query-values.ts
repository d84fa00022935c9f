import type { Fault } from '../errors.ts'
import { type InstantRange, instantRange } from './date-range.ts'
import { ownTarget } from './literal-reference.ts'
import { indexed } from './search-text.ts'

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

/** Commas separate alternatives; a backslash escapes comma, dollar, pipe and itself. */
export const splitValues = (value: string): string[] => value.match(/(?:\\.|[^,\\])+/g) ?? []
export const LONE_BACKSLASH = /^(?:[^\\]|\\[\\,$|])*\\(?![\\,$|])/
export const unescaped = (value: string): string => value.replaceAll(/\\([\\,$|])/g, '$1')

export function tokenCriterion(text: string): TokenCriterion {
  const parts = text.match(/^((?:\\.|[^|\\])*)\|(.*)$/s)
  if (parts === null) return { code: indexed(unescaped(text)) }
  const [, system = '', code = ''] = parts
  return {
    system: indexed(unescaped(system)),
    ...(code === '' ? {} : { code: indexed(unescaped(code)) }),
  }
}

export function referenceCriterion(
  text: string,
  { modifier, baseUrl }: { readonly modifier: string | undefined; readonly baseUrl: string },
): ReferenceCriterion | undefined {
  const target = ownTarget(text, baseUrl)
  if (target !== undefined)
    return modifier === undefined || modifier === target.type ? target : undefined
  if (!/^[A-Za-z0-9\-.]{1,64}$/.test(text)) return undefined
  return modifier === undefined ? { id: text } : { type: modifier, id: text }
}

export function dateCriterion(
  name: string,
  text: string,
  faults: Fault[],
): DateCriterion | undefined {
  const prefix = DATE_PREFIXES.find((known) => text.startsWith(known))
  // A raw plus sign of a zone reaches us as a space.
  const range = instantRange((prefix === undefined ? text : text.slice(2)).replace(' ', '+'))
  if (range !== undefined) return { prefix: prefix ?? 'eq', ...range }
  faults.push(
    parameterFault(
      name,
      'value',
      'A date is written YYYY, YYYY-MM, YYYY-MM-DD or with time and zone.',
    ),
  )
  return undefined
}

/** A fault of a search parameter; an expression as R4 2.44.5 writes it. */
export const parameterFault = (name: string, code: string, text: string): Fault => ({
  severity: 'error',
  code,
  expression: /^[a-z_]+$/i.test(name) ? `http.${name}` : `http."${name}"`,
  rule: 'search-parameter',
  text,
})
