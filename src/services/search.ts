import { AppError } from '../errors.ts'
import { typesTouched } from '../fhir/query.ts'
import { parameterFault } from '../fhir/query-values.ts'
import { rowOf } from '../fhir/registry.ts'
import type { Caller } from '../security/access-token.ts'
import { allows } from '../security/scopes.ts'
import { DatabaseFailure } from '../storage/database-failure.ts'
import { pendingSince } from '../storage/audit-reading.ts'
import { countMatches, type Page, searchPage } from '../storage/search.ts'
import { mayBeAmbiguous } from '../storage/search-ambiguity.ts'
import { includesOf, MAX_INCLUDED } from '../storage/search-includes.ts'
import type { StoredVersion } from '../storage/resources.ts'
import type { Asking } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { refuseAmbiguity } from './search-ambiguity.ts'
import { type AddressedQuery, nextLink, placeOf, selfLink } from './search-links.ts'
import { noteShown } from './noted.ts'
import { planOf, type SearchRequest } from './search-plan.ts'
import { type Published, publishedMatches } from './published.ts'
import { publishedSet } from './published-set.ts'
import { searchSetOf } from './search-set.ts'
import { childLookedFor, recordedBeside } from './recorded-beside.ts'
import { type Need, reading, readingOnce, refuseMissing } from './unit-of-work.ts'

/** @returns a searchset Bundle as JSON */
export async function search(
  context: Context,
  caller: Caller,
  request: SearchRequest,
): Promise<string> {
  const asked = planOf(context, caller, request)
  const needs = needsOf(asked)
  const ask = () => {
    const within = isAskedOnce(asked) ? readingOnce : reading
    return within(context, caller, needs, (tx) => answer(tx, context, caller, asked))
  }
  const child = isAskedOnce(asked) ? childLookedFor(caller, asked.query) : undefined
  if (child === undefined) return ask()
  refuseMissing(caller, needs)
  return recordedBeside(context, caller, child, ask)
}

const isOfLog = ({ searches }: AddressedQuery['query']): boolean =>
  searches.some(({ type }) => type === 'AuditEvent')

/** Its page is all that is read. */
const isAskedOnce = ({ query }: AddressedQuery): boolean =>
  query.count > 0 &&
  query.total === undefined &&
  query.includes.length === 0 &&
  !isOfLog(query) &&
  !mayBeAmbiguous(query)

/** The same inside a unit of work. What a chain looks into, its caller must be allowed to search. */
export function searchIn(
  tx: Asking,
  context: Context,
  caller: Caller,
  request: SearchRequest,
): Promise<string> {
  if (request.type !== undefined && rowOf(request.type)?.published === true)
    return Promise.resolve(publishedSet(context, { ...request, type: request.type }))
  const asked = planOf(context, caller, request)
  const missing = needsOf(asked).filter(({ type, letter }) => !allows(caller.scopes, type, letter))
  if (missing.length > 0) throw new AppError('scope-missing', 'The token does not allow this.')
  return answer(tx, context, caller, asked)
}

/** Included types are left out where the token does not allow them; a search itself is refused. */
const needsOf = ({ query }: AddressedQuery): Need[] =>
  typesTouched(query).filter(({ letter }) => letter === 's')

async function answer(
  tx: Asking,
  context: Context,
  caller: Caller,
  asked: AddressedQuery,
): Promise<string> {
  const { path, query } = asked
  const asOf = context.now().toISOString()
  const kept = query.searches.filter(({ type }) => rowOf(type)?.published !== true)
  const stored = { path, query: { ...query, searches: kept } }
  const place = placeOf(context, caller, asked)
  try {
    await refuseAmbiguity(tx, caller, stored.query)
    const ours = publishedBeside(context, stored)
    const { found, end }: Page =
      query.count === 0 || kept.length === 0
        ? { found: [] }
        : await searchPage(tx, caller, stored.query, { place, toCome: ours.length })
    const company = await included(tx, caller, stored, found)
    noteShown(caller, [...found, ...company])
    const isWhole = end === undefined && place === undefined && query.count > 0
    const until = place?.until ?? asOf
    const total = isWhole ? found.length : await totalOf(tx, caller, stored)
    return searchSetOf({
      baseUrl: context.baseUrl,
      self: selfLink(context, asked),
      next: nextLink(context, caller, asked, { end, until }),
      total: total === undefined ? undefined : total + ours.length,
      found: end === undefined && query.count > 0 ? [...found, ...ours] : found,
      included: company,
      query,
      notYet: isOfLog(query) ? await pendingSince(tx, caller.clinicId, asOf) : undefined,
    })
  } catch (error) {
    throw tooCostly(error)
  }
}

/** What the service publishes of a type that is kept too, such as its form; it comes last, whatever the order. */
function publishedBeside(context: Context, { path, query }: AddressedQuery): readonly Published[] {
  const isOfCompartment = path !== '' && query.searches.every(({ type }) => type !== path)
  return isOfCompartment ? [] : publishedMatches(context, query)
}

/** Counted when it is asked for, or when nothing else is. */
async function totalOf(
  tx: Asking,
  caller: Caller,
  { query }: AddressedQuery,
): Promise<number | undefined> {
  const isAsked = query.total === 'accurate' || query.total === 'estimate' || query.count === 0
  if (!isAsked) return undefined
  return query.searches.length === 0 ? 0 : countMatches(tx, caller, query)
}

async function included(
  tx: Asking,
  caller: Caller,
  { query: { includes } }: AddressedQuery,
  matches: readonly StoredVersion[],
): Promise<readonly StoredVersion[]> {
  if (includes.length === 0) return []
  const { resources, tooMany } = await includesOf(tx, caller, { includes, matches }, (type) =>
    allows(caller.scopes, type, 'r'),
  )
  if (!tooMany) return resources
  throw new AppError('invalid-request', 'The search cannot be executed.', [
    parameterFault(
      '_count',
      'too-costly',
      `More than ${MAX_INCLUDED} resources would come along with this page; ask for fewer matches.`,
    ),
  ])
}

const STATEMENT_TIMEOUT = '57014'

/** What takes longer than the database may is for the caller to narrow. */
function tooCostly(error: unknown): unknown {
  if (!(error instanceof DatabaseFailure) || error.code !== STATEMENT_TIMEOUT) return error
  return new AppError('invalid-request', 'The search cannot be executed.', [
    parameterFault('', 'too-costly', 'This search takes too long. Narrow it.'),
  ])
}
