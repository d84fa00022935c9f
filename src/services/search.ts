import { AppError } from '../errors.ts'
import { type Query, typesTouched } from '../fhir/query.ts'
import { parameterFault } from '../fhir/query-values.ts'
import { rowOf } from '../fhir/registry.ts'
import type { Caller } from '../security/access-token.ts'
import { allows } from '../security/scopes.ts'
import { DatabaseFailure } from '../storage/database-failure.ts'
import { pendingSince } from '../storage/audit-reading.ts'
import { countMatches } from '../storage/search.ts'
import { mayBeAmbiguous } from '../storage/search-ambiguity.ts'
import type { Asking } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { included } from './search-company.ts'
import { type AddressedQuery, nextLink, placeOf, selfLink } from './search-links.ts'
import { noteShown } from './noted.ts'
import { pageOf } from './search-page.ts'
import { planOf, type SearchRequest } from './search-plan.ts'
import { asksAboutPublished } from './published-found.ts'
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
  const isOnce = isAskedOnce(context, asked)
  const within = isOnce ? readingOnce : reading
  const ask = () => within(context, caller, needs, (tx) => answer(tx, context, caller, asked))
  const child = isOnce ? childLookedFor(caller, asked.query) : undefined
  if (child === undefined) return ask()
  refuseMissing(caller, needs)
  return recordedBeside(context, caller, child, ask)
}

const isOfLog = ({ searches }: AddressedQuery['query']): boolean =>
  searches.some(({ type }) => type === 'AuditEvent')

/** Its page is all that is read. */
const isAskedOnce = (context: Context, { query }: AddressedQuery): boolean =>
  query.count > 0 &&
  query.total === undefined &&
  query.includes.length === 0 &&
  !isOfLog(query) &&
  !mayBeAmbiguous(query) &&
  !asksAboutPublished(context, query)

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
  const { query } = asked
  const asOf = context.now().toISOString()
  const place = placeOf(context, caller, asked)
  try {
    const page = await pageOf(tx, context, caller, { asked, place })
    const { found, matches, end, stored, published } = page
    const company = await included(tx, context, caller, { includes: query.includes, page })
    noteShown(caller, [...found, ...company.kept])
    const isWhole = end === undefined && place === undefined && query.count > 0
    const until = place?.until ?? asOf
    const total = isWhole ? found.length : await totalOf(tx, caller, { ...query, ...stored })
    return searchSetOf({
      baseUrl: context.baseUrl,
      self: selfLink(context, asked),
      next: nextLink(context, caller, asked, { end, until }),
      total: total === undefined ? undefined : total + published,
      found: matches,
      included: [...company.kept, ...company.published],
      query,
      notYet: isOfLog(query) ? await pendingSince(tx, caller.clinicId, asOf) : undefined,
    })
  } catch (error) {
    throw tooCostly(error)
  }
}

/** Counted when it is asked for, or when nothing else is. */
async function totalOf(tx: Asking, caller: Caller, query: Query): Promise<number | undefined> {
  const isAsked = query.total === 'accurate' || query.total === 'estimate' || query.count === 0
  if (!isAsked) return undefined
  return query.searches.length === 0 ? 0 : countMatches(tx, caller, query)
}

const STATEMENT_TIMEOUT = '57014'

/** What takes longer than the database may is for the caller to narrow. */
function tooCostly(error: unknown): unknown {
  if (!(error instanceof DatabaseFailure) || error.code !== STATEMENT_TIMEOUT) return error
  return new AppError('invalid-request', 'The search cannot be executed.', [
    parameterFault('', 'too-costly', 'This search takes too long. Narrow it.'),
  ])
}
