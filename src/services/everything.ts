import { AppError } from '../errors.ts'
import type { Caller } from '../security/access-token.ts'
import { readResource, type StoredVersion } from '../storage/resources.ts'
import { countMatches, type Page, searchPage } from '../storage/search.ts'
import type { PagePlace } from '../storage/search-order.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { provenanceOf, referredTo } from './everything-company.ts'
import { type AskedEverything, askedOf, type EverythingRequest } from './everything-request.ts'
import { noteShown } from './noted.ts'
import { nextLink, placeOf, selfLink } from './search-links.ts'
import { searchSetOf } from './search-set.ts'
import { unitOfWork } from './unit-of-work.ts'

/**
 * Patient/$everything: the Patient, or all in sight, then what is in its compartment (Task knowingly
 * included); with them what those refer to, and the Provenance of it.
 *
 * @param request start and end of the care, _since, _type, _count
 * @returns a searchset Bundle as JSON
 */
export function everything(
  context: Context,
  caller: Caller,
  request: EverythingRequest,
): Promise<string> {
  const asked = askedOf(context, caller, request)
  const place = placeOf(context, caller, asked)
  const until = place?.until ?? context.now().toISOString()
  return unitOfWork(context, caller, asked.needs, async (tx) => {
    const { clinicId } = caller
    if (request.patientId !== undefined) await refuseMissing(tx, clinicId, request.patientId)
    if (asked.query.count === 0) return counted(tx, context, caller, asked)
    const { found: walked, end } = await pageOf(tx, caller, asked, { place, until })
    const isWanted = ({ type }: StoredVersion) => asked.isWanted(type)
    const found = walked.filter(isWanted)
    const company = [
      ...(await referredTo(tx, context, caller, walked)),
      ...(asked.isWanted('Provenance') ? await provenanceOf(tx, caller, walked) : []),
    ]
    const included = company.filter(isWanted)
    noteShown(caller, [...found, ...included])
    return searchSetOf({
      baseUrl: context.baseUrl,
      self: selfLink(context, asked),
      next: nextLink(context, caller, asked, { end, until }),
      total: place === undefined && end === undefined ? found.length : undefined,
      found,
      included,
      query: asked.query,
    })
  })
}

/** R4 3.1.1.5.2: with _count=0 only how many there are is answered; what comes along is not counted. */
async function counted(
  tx: Tx,
  context: Context,
  caller: Caller,
  asked: AskedEverything,
): Promise<string> {
  const searches = [asked.patients ?? [], asked.rest]
    .flat()
    .filter(({ type }) => asked.isWanted(type))
  return searchSetOf({
    baseUrl: context.baseUrl,
    self: selfLink(context, asked),
    next: undefined,
    total: searches.length === 0 ? 0 : await countMatches(tx, caller, { ...asked.query, searches }),
    found: [],
    included: [],
    query: asked.query,
  })
}

async function refuseMissing(tx: Tx, clinicId: string, id: string): Promise<void> {
  const patient = await readResource(tx, { clinicId, type: 'Patient', id })
  if (patient === undefined) throw new AppError('not-found', 'There is no such Patient.')
  if (patient.deleted) throw new AppError('deleted', 'This Patient was deleted.')
}

/** Behind every Patient and before all that is about them, whose newest comes first. */
const BETWEEN: Omit<PagePlace, 'until'> = { keys: ['infinity'], type: '', id: '' }

/** A page of two walks, one behind the other: the Patients, and what is about them. */
async function pageOf(
  tx: Tx,
  caller: Caller,
  { query, patients, rest }: AskedEverything,
  { place, until }: { readonly place: PagePlace | undefined; readonly until: string },
): Promise<Page> {
  const isBehind = place !== undefined && place.type !== 'Patient'
  const first: Page =
    patients === undefined || isBehind
      ? { found: [] }
      : await searchPage(tx, caller, { ...query, searches: [patients] }, { place })
  if (first.end !== undefined || rest.length === 0) return first
  const room = query.count - first.found.length
  // On a full page it is only asked whether anything follows.
  const wanted = { ...query, searches: rest, count: Math.max(room, 1) }
  const from = isBehind ? place : { ...BETWEEN, until }
  const next = await searchPage(tx, caller, wanted, { place: from })
  if (room > 0) return { ...next, found: [...first.found, ...next.found] }
  return next.found.length === 0 ? first : { found: first.found, end: BETWEEN }
}
