import { inOrder, mergedInOrder } from '../fhir/in-order.ts'
import type { Query } from '../fhir/query.ts'
import { searchValues } from '../fhir/search-values.ts'
import type { Page, SearchedPage } from '../storage/search.ts'
import type { PagePlace } from '../storage/search-order.ts'
import type { StoredVersion } from '../storage/resources.ts'
import type { Context } from './context.ts'
import type { Published } from './published.ts'
import { readEntry } from './referral-record.ts'

export interface MergedPage {
  readonly found: readonly StoredVersion[]
  readonly shown: readonly Published[]
  /** Both, in the order asked for. */
  readonly matches: readonly (StoredVersion | Published)[]
  readonly end?: Page['end']
}

/** Nothing that is kept was shown yet. */
const AT_FIRST = { keys: [], type: '', id: '' }

/** Behind what is kept a merged walk goes on; undefined before its first match. */
export const keptPlace = (place: PagePlace | undefined): PagePlace | undefined =>
  place === undefined || place.keys.length === 0 ? undefined : place

/**
 * One page of what is kept and what is published together, in an order that was asked for (R4 3.1.1.5.1).
 *
 * @param page  of what is kept, from where the page before ended
 * @param ours  all that is published and found
 * @param place where the page before ended
 */
export function mergedPage(
  { baseUrl }: Context,
  { sort, count }: Pick<Query, 'sort' | 'count'>,
  {
    page,
    ours,
    place,
  }: {
    readonly page: SearchedPage
    readonly ours: readonly Published[]
    readonly place: PagePlace | undefined
  },
): MergedPage {
  const before = place?.beside ?? 0
  const rest = inOrder(ours, sort).slice(before)
  const kept = page.found.map((version) => {
    const { type, id } = version
    return { ...version, values: searchValues({ type, id, baseUrl }, readEntry(version).resource) }
  })
  const matches = mergedInOrder(kept, rest, sort).slice(0, count)
  const shown = rest.filter((one) => matches.includes(one))
  const found = kept.filter((one) => matches.includes(one))
  const isWhole =
    page.end === undefined && found.length === page.found.length && shown.length === rest.length
  if (isWhole) return { found, shown, matches }
  const { keys, type, id } = page.placeAt(found.length - 1) ?? keptPlace(place) ?? AT_FIRST
  return { found, shown, matches, end: { keys, type, id, beside: before + shown.length } }
}
