import type { SourceId } from './sources.ts'

/** A number that a state publishes; `domains` says in how many domains of development it must be reached. */
export type Criterion = { readonly domains: 1 | 2 } & (
  | {
      readonly kind: 'percent-delay'
      readonly percent: number
      /** Counts only where expressive communication alone is delayed. */
      readonly scope?: 'only-expressive-communication'
    }
  | {
      readonly kind: 'sd-below-mean'
      readonly sd: number
      /** What a page prints as the standard score (mean 100, SD 15) for it, where arithmetic says otherwise. */
      readonly printedScore?: number
    }
  | { readonly kind: 'months-delay'; readonly months: number }
  /** "Not reaching this share of the milestones expected at the age." */
  | { readonly kind: 'reached-below'; readonly percent: number }
  | { readonly kind: 'any-delay' }
)

/** Numbers and the days on which they may have been in force, `YYYY-MM-DD`; an end not seen is absent. */
export interface ThresholdVersion {
  readonly from?: string
  readonly until?: string
  /** Only for children of this age, months. */
  readonly fromMonths?: number
  readonly underMonths?: number
  readonly anyOf: readonly Criterion[]
}

export interface StateThreshold {
  readonly name: string
  readonly versions: readonly ThresholdVersion[]
  /** Which age the state uses; `not-seen` where no text said it. */
  readonly age: 'not-seen' | 'corrected' | 'corrected-to-24-months-if-born-by-38-weeks'
  /** Of when the text is that was read. */
  readonly asOf: string
  /** Read in the rule of the state, from its agency or in the national table; not on a secondary page. */
  readonly confirmed: boolean
  readonly source: SourceId
  readonly note?: string
}
