import type { InstantRange } from './date-range.ts'

// The rows of the index tables. `path` is the path of an atom (search-params.ts), with a suffix where a
// modifier needs values of its own.

export interface TokenValue {
  readonly path: string
  /** '' when there is none. */
  readonly system: string
  readonly code: string
}
/** A reference to a resource of this service. */
export interface ReferenceValue {
  readonly path: string
  readonly targetType: string
  readonly targetId: string
}
export interface StringValue {
  readonly path: string
  /** Lower case without accents. */
  readonly value: string
  readonly exact: string
}
/** A URI, a canonical without its version, or a reference that leaves this service. */
export interface UriValue {
  readonly path: string
  readonly value: string
  /** Of a canonical; '' when there is none. */
  readonly version: string
}
export interface DateValue {
  readonly path: string
  /** ISO instants in UTC: from inclusive, to exclusive. */
  readonly start: string
  readonly end: string
}
/** A number or quantity; decimals as text, `-Infinity` and `Infinity` for the open ends of a range. */
export interface QuantityValue {
  readonly path: string
  readonly low: string
  readonly high: string
  readonly system: string
  readonly code: string
  readonly unit: string
}
/** Two values of one repeating element: a token, and what the kind of the other half has. */
export interface PairValue {
  /** `pairPath` of the composite's anchor and halves. */
  readonly path: string
  readonly system: string
  readonly code: string
  readonly secondSystem?: string
  readonly secondCode?: string
  readonly unit?: string
  readonly low?: string
  readonly high?: string
  readonly targetType?: string
  readonly targetId?: string
}

/** What a resource can be found by: the typed columns, and the rows of the narrow tables. */
export interface SearchValues {
  /** The Patient it is about; of several the first. */
  readonly patientId?: string
  readonly code?: { readonly system: string; readonly code: string }
  readonly status?: string
  readonly date?: InstantRange
  readonly tokens: readonly TokenValue[]
  readonly references: readonly ReferenceValue[]
  readonly strings: readonly StringValue[]
  readonly uris: readonly UriValue[]
  readonly dates: readonly DateValue[]
  readonly quantities: readonly QuantityValue[]
  readonly pairs: readonly PairValue[]
}

/** Of a resource that cannot be found: a deletion. */
export const NO_SEARCH_VALUES: SearchValues = {
  tokens: [],
  references: [],
  strings: [],
  uris: [],
  dates: [],
  quantities: [],
  pairs: [],
}

/** Later parts of a family name: a search by the beginning finds them, an exact one and an order do not. */
export const partPath = (path: string): string => `${path}:part`
export const isFamilyName = (path: string): boolean => /(?:^|\.)family$/.test(path)

/** Rows of `:text`, of `:of-type` and of `:identifier` stand beside those of the place itself. */
export const textPath = (path: string): string => `${path}:text`
export const ofTypePath = (path: string): string => `${path}:of-type`
export const identifierPath = (path: string): string => `${path}:identifier`

/** What is contained, of a type, behind a reference: `subject#Patient`, and `subject#Patient name.family` in it. */
export const containedPath = (place: string, type: string): string => `${place}#${type}`

/** `component code$valueQuantity`: the halves by the paths of their atoms below the anchor. */
export const pairPath = (anchor: string, first: string, second: string): string =>
  `${anchor} ${first}$${second}`
