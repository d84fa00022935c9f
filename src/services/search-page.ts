import type { TypeSearch } from '../fhir/query.ts'
import { rowOf } from '../fhir/registry.ts'
import type { Caller } from '../security/access-token.ts'
import type { StoredVersion } from '../storage/resources.ts'
import { type Page, searchPage } from '../storage/search.ts'
import type { PagePlace } from '../storage/search-order.ts'
import type { Asking } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import type { Published } from './published.ts'
import { publishedFound } from './published-found.ts'
import { keptPlace, mergedPage } from './merged-page.ts'
import { isPastKept, publishedPage } from './published-page.ts'
import { refuseAmbiguity } from './search-ambiguity.ts'
import type { AddressedQuery } from './search-links.ts'

/** One page of a search. */
export interface FoundPage {
  readonly found: readonly StoredVersion[]
  readonly shown: readonly Published[]
  /** Both, as they are answered: in the order asked for, else what is kept first. */
  readonly matches: readonly (StoredVersion | Published)[]
  /** Where it ended, when another page follows. */
  readonly end?: Page['end']
  /** What was asked of what is kept. */
  readonly stored: { readonly searches: readonly TypeSearch[] }
  /** So many published resources are found on all pages. */
  readonly published: number
}

/** @param place where the page before ended */
export async function pageOf(
  tx: Asking,
  context: Context,
  caller: Caller,
  { asked, place }: { readonly asked: AddressedQuery; readonly place: PagePlace | undefined },
): Promise<FoundPage> {
  const { query } = asked
  const kept = query.searches.filter(({ type }) => rowOf(type)?.published !== true)
  const stored = { ...query, searches: kept }
  await refuseAmbiguity(tx, caller, stored)
  const ours = isOfCompartment(asked) ? [] : await publishedFound(tx, context, caller, query)
  const rest = { stored: { searches: kept }, published: ours.length }
  if (query.count > 0 && kept.length > 0 && ours.length > 0 && query.sort.length > 0) {
    const page = await searchPage(tx, caller, stored, { place: keptPlace(place) })
    return { ...mergedPage(context, query, { page, ours, place }), ...rest }
  }
  const isKeptRead = query.count > 0 && kept.length > 0 && !isPastKept(place)
  const { found, end }: Page = isKeptRead
    ? await searchPage(tx, caller, stored, { place, isFollowed: ours.length > 0 })
    : { found: [] }
  const room = end === undefined ? query.count - found.length : 0
  const { shown, ...beside } = publishedPage(ours, query, { place, room })
  return { found, shown, matches: [...found, ...shown], end: end ?? beside.end, ...rest }
}

const isOfCompartment = ({ path, query }: AddressedQuery): boolean =>
  path !== '' && query.searches.every(({ type }) => type !== path)
