import { bareCode } from './bare-tokens.ts'
import { rowOf } from './registry.ts'
import { isWellWritten, split, splitValues, unescaped } from './query-values.ts'
import type { Atom } from './r4/search-line.ts'
import type { TokenCriterion } from './search-filter.ts'
import { searchParamsOf, COMMON_PARAMS, type SearchParam } from './search-params.ts'

// The search part of a SMART scope, `category=http://…|laboratory`, as a predicate over one resource.

/** What stands at a place is compared by itself; a place with a condition of its own is not. */
const PLAIN_PATH = /^[A-Za-z]+(?:\.[A-Za-z]+)*$/
const REFERENCE = /^[A-Z][A-Za-z]{1,60}\/[A-Za-z0-9\-.]{1,64}$/
/** A restriction is read for every row that its client might see. */
const MAX_CRITERIA = 8
const MAX_ALTERNATIVES = 20

/** Rules of the clinic that our own checks read as a whole, and what is told to others without being asked for. */
const NEVER_NARROWED: ReadonlySet<string> = new Set(['Library', 'DeviceDefinition', 'Subscription'])

export type Restriction =
  /** A predicate of the SQL/JSON path language: true of the resources that are left. */
  | { readonly predicate: string }
  /** Why there is no such restriction. */
  | { readonly refused: string }

/**
 * Reads the search part of a scope of one type. Only what a row can be asked by itself: tokens, compared to the
 * letter, and references `Type/id`; no modifiers, no chains.
 */
export function scopeRestriction(type: string, query: string): Restriction {
  const row = rowOf(type)
  if (row === undefined || row.published === true || NEVER_NARROWED.has(type))
    return { refused: `Scopes of ${type} have no search part here.` }
  const pairs = [...new URLSearchParams(query)]
  if (pairs.length === 0 || pairs.length > MAX_CRITERIA)
    return { refused: `A search part has one to ${MAX_CRITERIA} parameters.` }
  const params = [...searchParamsOf(type), ...COMMON_PARAMS]
  const predicates: string[] = []
  for (const [name, value] of pairs) {
    const param = params.find(({ code }) => code === name)
    const predicate = param === undefined ? undefined : predicateOf(param, value)
    if (predicate === undefined)
      return {
        refused: `The search part of a scope of ${type} is made of token parameters and of references Type/id, without modifiers: category=system|code.`,
      }
    predicates.push(predicate)
  }
  return { predicate: predicates.map((one) => `(${one})`).join(' && ') }
}

function predicateOf({ kind, atoms }: SearchParam, value: string): string | undefined {
  if (kind !== 'token' && kind !== 'reference') return undefined
  if (atoms.some(({ path }) => !PLAIN_PATH.test(path)) || !isWellWritten(value)) return undefined
  const texts = splitValues(value)
  if (texts.length === 0 || texts.length > MAX_ALTERNATIVES) return undefined
  const all = texts.flatMap((text) =>
    atoms.map((atom) => (kind === 'token' ? tokenAt(atom, text) : referenceAt(atom, text))),
  )
  return all.every((one) => one !== undefined) ? all.join(' || ') : undefined
}

/** In the lax mode of the language a step goes into every element of a list. */
const placeOf = ({ path }: Atom): string => `$.${path.split('.').map(quoted).join('.')}`

const quoted = (text: string): string => JSON.stringify(text)

const found = (place: string, conditions: readonly string[]): string =>
  `exists(${place}[*] ? (${conditions.join(' && ')}))`

function tokenAt(atom: Atom, text: string): string | undefined {
  const [first = '', ...rest] = split(text, '|').map(unescaped)
  const system = rest.length === 0 ? undefined : first
  const code = rest.length === 0 ? first : rest.join('|')
  if (code === '' && (system === undefined || system === '')) return undefined
  const place = placeOf(atom)
  const coded = (name: 'code' | 'value') => [
    ...(system === undefined
      ? []
      : [system === '' ? '!exists(@.system)' : `@.system == ${quoted(system)}`]),
    ...(code === '' ? [] : [`@.${name} == ${quoted(code)}`]),
  ]
  switch (atom.type) {
    case 'CodeableConcept':
      return found(`${place}.coding`, coded('code'))
    case 'Coding':
      return found(place, coded('code'))
    case 'Identifier':
      return found(place, coded('value'))
    case 'code':
    case 'boolean':
      return bareAt(atom, {
        ...(system === undefined ? {} : { system }),
        ...(code === '' ? {} : { code }),
      })
    default:
      return undefined
  }
}

function bareAt(atom: Atom, criterion: TokenCriterion): string | undefined {
  const asked = bareCode(atom, criterion)
  if (asked === undefined) return undefined
  if (asked === 'any') return `exists(${placeOf(atom)}[*])`
  const { code } = asked
  if (atom.type === 'code') return found(placeOf(atom), [`@ == ${quoted(code)}`])
  return code === 'true' || code === 'false' ? found(placeOf(atom), [`@ == ${code}`]) : undefined
}

function referenceAt(atom: Atom, text: string): string | undefined {
  const target = unescaped(text)
  if (atom.type !== 'Reference' || !REFERENCE.test(target)) return undefined
  return found(placeOf(atom), [
    `@.reference == ${quoted(target)} || @.reference starts with ${quoted(`${target}/_history/`)}`,
  ])
}
