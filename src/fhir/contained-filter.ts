import type { Atom } from './r4/search-line.ts'
import type { Filter } from './search-filter.ts'
import { containedPath } from './search-index.ts'

type Chain = Extract<Filter, { kind: 'chain' }>

/** Nothing fulfils it. */
const NONE: Filter = { kind: 'any', filters: [] }

/** What a chain asks of a resource for what it contains itself. */
export interface ContainedQuestion {
  /** A resource of the type is contained and referred to by the place. */
  readonly isThere: Filter & { readonly kind: 'missing' }
  /** It fulfils the filter of the chain. */
  readonly filter: Filter
}

/** The questions of a chain, one for each place that may refer to a contained resource of its type. */
export const containedQuestions = ({ atoms, type, filter }: Chain): ContainedQuestion[] =>
  atoms
    .filter(({ targets }) => targets.length === 0 || targets.includes(type))
    .map(({ path }) => {
      const within = containedPath(path, type)
      const marked: Atom = { path: within, type: 'uri', targets: [], many: true }
      return {
        isThere: { kind: 'missing', of: 'uri', atoms: [marked], missing: false },
        filter: moved(filter, within),
      }
    })

/** The same question at the places of what is contained. */
function moved(filter: Filter, within: string): Filter {
  switch (filter.kind) {
    // What is contained has no id that others know, no version, and nobody else refers to it.
    case 'id':
    case 'last-updated':
    case 'has':
      return NONE
    case 'all':
    case 'any':
      return { ...filter, filters: filter.filters.map((one) => moved(one, within)) }
    case 'pair':
      return { ...filter, paths: filter.paths.map((path) => `${within} ${path}`) }
    default:
      return {
        ...filter,
        atoms: filter.atoms.map((atom) => ({ ...atom, path: `${within} ${atom.path}` })),
      }
  }
}
