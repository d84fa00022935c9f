import type { Fault } from '../errors.ts'
import { parameterFault } from './query-values.ts'
import type { Filter, HasFilter, ReferenceCriterion, TokenCriterion } from './search-filter.ts'

/** How a search parameter that we do not know is treated. */
export type Handling = 'strict' | 'lenient'

/** How the parameters of a search are read. */
export interface Reading {
  readonly handling: Handling
  /** Ours: a reference is found by `Type/id` and by its absolute URL below this base. */
  readonly baseUrl: string
  /** ISO instant, for what is `ap`, about. */
  readonly now: string
  /** The codes of a value set that we know, for `:in` and `:not-in`. */
  readonly codesOf?: (valueSet: string) => readonly TokenCriterion[] | undefined
  /** How those that the service publishes of a type, and that fulfil the filter, are referred to. */
  readonly publishedBy?: (type: string, filter: Filter) => readonly ReferenceCriterion[]
  /** The ids of those of a type to which something else that is published refers, and so `_has` it. */
  readonly publishedIdsBy?: (type: string, has: HasFilter) => readonly string[]
}

export type Pair = readonly [name: string, value: string]

export const MAX_PARAMETERS = 60
export const MAX_VALUES = 200
/** Steps of a chain, `_has` included. */
export const MAX_STEPS = 4
export const MAX_INCLUDES = 20
export const MAX_SORT_KEYS = 5

/** One parameter that is being read, with the list its faults go to. */
export interface Given {
  /** As it was sent, for the answer. */
  readonly sentAs: string
  readonly value: string
  readonly reading: Reading
  readonly faults: Fault[]
}

/** Notes the fault; there is no filter then. */
export function refuse({ sentAs, faults }: Given, code: string, text: string): undefined {
  faults.push(parameterFault(sentAs, code, text))
  return undefined
}

export const refuseModifier = (given: Given, modifier: string): undefined =>
  refuse(given, 'not-supported', `The modifier :${modifier} is not supported here.`)
