import type { InstantRange } from './date-range.ts'
import type { Atom, SearchKind } from './r4/search-line.ts'

// What a search asks of a resource, as the database can answer it.

export interface TokenCriterion {
  /** undefined: any system; '': no system at all. */
  readonly system?: string
  /** undefined: any code of the system. */
  readonly code?: string
  /** The code in lower case: also meets the codes of systems that are not known to tell cases apart. */
  readonly anyCase?: string
}

/** A bare id where several types may be meant: it must be the id of one of them only (3.1.1.4.12). */
export interface OpenType {
  /** The types that may be meant. */
  readonly types: readonly string[]
  /** The parameter as it was sent. */
  readonly sentAs: string
}

export type ReferenceCriterion =
  | { readonly kind: 'own'; readonly type?: string; readonly id: string; readonly open?: OpenType }
  /** A URL that leaves this service, or a canonical. */
  | { readonly kind: 'elsewhere'; readonly url: string; readonly version?: string }

export interface StringCriterion {
  readonly match: 'prefix' | 'contains' | 'exact'
  readonly folded: string
  readonly exact: string
}

export interface UriCriterion {
  /** One of these; with `below` also what begins with one of them and a slash. */
  readonly values: readonly string[]
  readonly below: boolean
  readonly version?: string
}

export type Prefix = 'eq' | 'ne' | 'gt' | 'lt' | 'ge' | 'le' | 'sa' | 'eb' | 'ap'

/** With `ap` the range is already as wide as the approximation. */
export interface DateCriterion extends InstantRange {
  readonly prefix: Prefix
}

/** A number as decimal texts. */
export interface NumberCriterion {
  readonly prefix: Prefix
  /** The number as it is written. */
  readonly value: string
  /** What its digits leave open: from inclusive, to exclusive; with `ap` the approximation. */
  readonly from: string
  readonly to: string
}

export interface QuantityCriterion extends NumberCriterion {
  readonly system?: string
  readonly code?: string
  /** May also be the unit as people read it. */
  readonly codeOrUnit?: string
  /** What a stored number of this unit is multiplied with before it is compared. */
  readonly times?: string
}

/** Both halves of a composite, of one and the same element. */
export type PairCriterion = TokenCriterion & {
  readonly second:
    | { readonly kind: 'token'; readonly value: TokenCriterion }
    | { readonly kind: 'quantity'; readonly value: QuantityCriterion }
    | { readonly kind: 'reference'; readonly value: ReferenceCriterion }
}

interface Of<Kind extends string, Value> {
  readonly kind: Kind
  readonly atoms: readonly Atom[]
  /** Alternatives; of none at all nothing matches. */
  readonly values: readonly Value[]
}

export type Filter =
  | { readonly kind: 'id'; readonly ids: readonly string[] }
  | { readonly kind: 'last-updated'; readonly values: readonly DateCriterion[] }
  /** Negated it also holds for a resource without any value. */
  | (Of<'token', TokenCriterion> & { readonly negated: boolean })
  | Of<'reference', ReferenceCriterion>
  | Of<'string', StringCriterion>
  | Of<'uri', UriCriterion>
  | Of<'date', DateCriterion>
  | Of<'quantity', QuantityCriterion>
  | {
      readonly kind: 'pair'
      readonly paths: readonly string[]
      readonly values: readonly PairCriterion[]
    }
  | {
      readonly kind: 'missing'
      readonly of: SearchKind
      readonly atoms: readonly Atom[]
      readonly missing: boolean
    }
  /** What the reference leads to fulfils the filter. */
  | {
      readonly kind: 'chain'
      readonly atoms: readonly Atom[]
      readonly type: string
      readonly filter: Filter
    }
  /** A resource of this type refers to it by one of the atoms and fulfils the filter. */
  | {
      readonly kind: 'has'
      readonly type: string
      readonly atoms: readonly Atom[]
      readonly filter: Filter
    }
  | { readonly kind: 'all'; readonly filters: readonly Filter[] }
  | { readonly kind: 'any'; readonly filters: readonly Filter[] }

/** The bare ids of a filter whose type is left open. */
export function openIdsOf(filter: Filter): (OpenType & { readonly id: string })[] {
  switch (filter.kind) {
    case 'reference':
      return filter.values.flatMap((value) =>
        value.kind === 'own' && value.open !== undefined ? [{ ...value.open, id: value.id }] : [],
      )
    case 'chain':
    case 'has':
      return openIdsOf(filter.filter)
    case 'all':
    case 'any':
      return filter.filters.flatMap(openIdsOf)
    default:
      return []
  }
}

/** The types that a filter looks into beside the one that it is asked of. */
export function typesOf(filter: Filter): string[] {
  switch (filter.kind) {
    case 'chain':
    case 'has':
      return [filter.type, ...typesOf(filter.filter)]
    case 'all':
    case 'any':
      return filter.filters.flatMap(typesOf)
    default:
      return []
  }
}

export type HasFilter = Extract<Filter, { kind: 'has' }>

/** What must refer to the resource itself, not to what it refers to. */
export const hasFilters = (filters: readonly Filter[]): HasFilter[] =>
  filters.flatMap((filter) => {
    if (filter.kind === 'has') return [filter]
    return filter.kind === 'all' || filter.kind === 'any' ? hasFilters(filter.filters) : []
  })
