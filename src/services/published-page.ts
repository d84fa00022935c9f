import { AppError } from '../errors.ts'
import { inOrder } from '../fhir/in-order.ts'
import type { Query } from '../fhir/query.ts'
import { parameterFault } from '../fhir/query-values.ts'
import type { PagePlace } from '../storage/search-order.ts'
import type { Published } from './published.ts'

type Place = Pick<PagePlace, 'keys' | 'type' | 'id'>

export interface PublishedPage {
  readonly shown: readonly Published[]
  /** Where it ended, when more follows. */
  readonly end?: Place
}

/**
 * Where no order is asked for, what is published comes after all that is kept. A page that ended there names
 * nothing that the database sorts by, and nothing that is kept follows it.
 */
export const isPastKept = (place: Place | undefined): place is Place => place?.keys.length === 0

/** The part of a page that is filled with what is published: as much as there is room for. */
export function publishedPage(
  found: readonly Published[],
  { sort }: Pick<Query, 'sort'>,
  { place, room }: { readonly place: Place | undefined; readonly room: number },
): PublishedPage {
  const sorted = inOrder(found, sort)
  const rest = isPastKept(place) ? sorted.slice(indexOf(sorted, place) + 1) : sorted
  const shown = rest.slice(0, room)
  const last = shown.at(-1)
  return shown.length === rest.length || last === undefined
    ? { shown }
    : { shown, end: { keys: [], type: last.type, id: last.id } }
}

function indexOf(found: readonly Published[], { type, id }: Place): number {
  const index = found.findIndex((one) => one.type === type && one.id === id)
  if (index >= 0) return index
  throw new AppError('invalid-request', 'There is no such page.', [
    parameterFault(
      '_cursor',
      'value',
      'What is published has changed since. Begin again at the first page.',
    ),
  ])
}
