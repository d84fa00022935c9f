import type { Fault } from '../errors.ts'
import { comparedToken } from './code-case.ts'
import { ownTarget } from './literal-reference.ts'
import type { Atom } from './r4/search-line.ts'
import type {
  ReferenceCriterion,
  StringCriterion,
  TokenCriterion,
  UriCriterion,
} from './search-filter.ts'
import { folded, indexed } from './search-text.ts'

/** Commas separate alternatives; a backslash escapes comma, dollar, pipe and itself. */
export const splitValues = (value: string): string[] =>
  split(value, ',').filter((one) => one !== '')
const LONE_BACKSLASH = /^(?:[^\\]|\\[\\,$|])*\\(?![\\,$|])/
export const unescaped = (value: string): string => value.replaceAll(/\\([\\,$|])/g, '$1')

/** Is it written as a search value may be? */
export const isWellWritten = (value: string): boolean =>
  !value.includes('\0') && !LONE_BACKSLASH.test(value)

/** At every separator that no backslash stands before; the parts keep their escapes. */
export function split(text: string, separator: ',' | '$' | '|'): string[] {
  if (!text.includes('\\')) return text.split(separator)
  const parts: string[] = ['']
  for (const [piece] of text.matchAll(/\\.|[^\\]|\\$/gsu))
    if (piece === separator) parts.push('')
    else parts[parts.length - 1] += piece
  return parts
}

const word = (text: string): string => indexed(unescaped(text))

/** @param atoms the places that it is asked of: their types say whether case counts */
export function tokenCriterion(text: string, atoms: readonly Atom[]): TokenCriterion {
  const [first = '', ...rest] = split(text, '|')
  const types = atoms.map(({ type }) => type)
  if (rest.length === 0) return comparedToken(types, { code: unescaped(first) })
  const code = unescaped(rest.join('|'))
  return comparedToken(types, { system: unescaped(first), ...(code === '' ? {} : { code }) })
}

/** `system|code|value` of an identifier: its type as one system, its value as the code. */
export function ofTypeCriterion(text: string): TokenCriterion | undefined {
  const [system = '', code = '', ...rest] = split(text, '|')
  const value = rest.join('|')
  if (code === '' || value === '') return undefined
  return { system: indexed(`${unescaped(system)}|${unescaped(code)}`), code: word(value) }
}

const ID = /^[A-Za-z0-9\-.]{1,64}$/

/** Undefined for what can lead nowhere: nothing is found by it. */
export function referenceCriterion(
  text: string,
  { modifier, baseUrl }: { readonly modifier: string | undefined; readonly baseUrl: string },
): ReferenceCriterion | undefined {
  const plain = unescaped(text)
  const target = ownTarget(plain, baseUrl)
  if (target !== undefined)
    return modifier === undefined || modifier === target.type
      ? { kind: 'own', ...target }
      : undefined
  if (ID.test(plain))
    return { kind: 'own', ...(modifier === undefined ? {} : { type: modifier }), id: plain }
  if (modifier !== undefined || !/^[a-z][a-z0-9+.-]*:/i.test(plain)) return undefined
  return { kind: 'elsewhere', ...canonical(text) }
}

/** Of a canonical; a relative one is below our own base. */
export const canonicalCriterion = (text: string, baseUrl: string): ReferenceCriterion => ({
  kind: 'elsewhere',
  ...canonical(/^[A-Z][A-Za-z]{1,60}\/[A-Za-z0-9\-.]+$/.test(text) ? `${baseUrl}/${text}` : text),
})

/** A canonical and its version apart. */
function canonical(text: string): { readonly url: string; readonly version?: string } {
  const parts = split(text, '|')
  const version = parts.length > 1 ? parts.at(-1) : undefined
  const url = word(parts.length > 1 ? parts.slice(0, -1).join('|') : text)
  return version === undefined || version === '' ? { url } : { url, version: word(version) }
}

export const stringCriterion = (
  text: string,
  match: StringCriterion['match'],
): StringCriterion => ({ match, folded: folded(unescaped(text)), exact: word(text) })

/** Undefined where `:above` or `:below` is asked of what is no URL with a path (3.1.1.4.13). */
export function uriCriterion(
  text: string,
  modifier: string | undefined,
  isCanonical: boolean,
): UriCriterion | undefined {
  const { url, version } = isCanonical ? canonical(text) : { url: word(text) }
  const versioned = version === undefined ? {} : { version }
  if (modifier === undefined) return { values: [url], below: false, ...versioned }
  if (!/^https?:\/\//i.test(url)) return undefined
  if (modifier === 'below') return { values: [url.replace(/\/$/, '')], below: true, ...versioned }
  return { values: withParents(url), below: false, ...versioned }
}

/** A URL and every one that is above it, with and without a slash at its end. */
function withParents(url: string): string[] {
  const [, origin = '', path = ''] = /^(https?:\/\/[^/]*)(.*)$/is.exec(url) ?? []
  const steps = path.split('/').filter((step) => step !== '')
  return [
    url,
    ...[...steps.keys(), steps.length].flatMap((count) => {
      const parent = [origin, ...steps.slice(0, count)].join('/')
      return [parent, `${parent}/`]
    }),
  ]
}

/** A fault of a search parameter; an expression as R4 2.44.5 writes it. */
export const parameterFault = (name: string, code: string, text: string): Fault => ({
  severity: 'error',
  code,
  expression: expressionOf(name),
  rule: 'search-parameter',
  text,
})

/** Of an operation: the parameters that it does not take, each told. */
export const untakenFaults = (
  pairs: readonly (readonly [string, string])[],
  known: readonly string[],
): Fault[] =>
  pairs
    .filter(([name]) => !known.includes(name))
    .map(([name]) =>
      parameterFault(name, 'not-supported', 'The operation does not take this parameter here.'),
    )

const expressionOf = (name: string): string => {
  if (name === '') return ''
  if (/^[a-z_]+$/i.test(name)) return `http.${name}`
  // A name that no parameter could have may be anything, also what would break the expression.
  return /^[\w.:$-]+$/.test(name) ? `http."${name}"` : 'http.query'
}
