import { AppError, type Fault } from '../errors.ts'
import { COMPARTMENT_ROWS } from '../fhir/compartment.ts'
import { instantRange } from '../fhir/date-range.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import type { TypeSearch } from '../fhir/query.ts'
import { paramOf } from '../fhir/query-parameters.ts'
import { parameterFault } from '../fhir/query-values.ts'
import { referencesIn } from '../fhir/reference-map.ts'
import { rowOf } from '../fhir/registry.ts'
import type { DateCriterion, Filter } from '../fhir/search-filter.ts'
import type { Caller } from '../security/access-token.ts'
import { allows } from '../security/scopes.ts'
import { readResource, readResources, type StoredVersion } from '../storage/resources.ts'
import { searchPage } from '../storage/search.ts'
import { includesOf } from '../storage/search-includes.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { readEntry } from './referral-record.ts'
import { type AddressedQuery, nextLink, placeOf, selfLink } from './search-links.ts'
import { planOf } from './search-plan.ts'
import { searchSetOf } from './search-set.ts'
import { unitOfWork } from './unit-of-work.ts'

type Pairs = readonly (readonly [string, string])[]

/**
 * Patient/$everything: the Patient, what is in its compartment (Task knowingly included), what those refer
 * to, and the Provenance of it.
 *
 * @param parameters start and end of the care, _since, _type, _count
 * @returns a searchset Bundle as JSON
 */
export function everything(
  context: Context,
  caller: Caller,
  { patientId, parameters }: { readonly patientId: string; readonly parameters: Pairs },
): Promise<string> {
  const asked = askedOf(context, caller, { patientId, parameters })
  return unitOfWork(context, caller, [{ type: 'Patient', letter: 'r' }], async (tx) => {
    const { clinicId } = caller
    const patient = await readResource(tx, { clinicId, type: 'Patient', id: patientId })
    if (patient === undefined) throw new AppError('not-found', 'There is no such Patient.')
    if (patient.deleted) throw new AppError('deleted', 'This Patient was deleted.')
    const place = placeOf(context, caller, asked)
    const { wantsPatient } = asked
    const isFirst = place === undefined && wantsPatient(patient)
    // The Patient comes first, and counts as one of the matches.
    const query = { ...asked.query, count: asked.query.count - (isFirst ? 1 : 0) }
    const { found, end } =
      query.searches.length === 0 ? { found: [] } : await searchPage(tx, clinicId, query, place)
    const matches = isFirst ? [patient, ...found] : found
    const until = place?.until ?? context.now().toISOString()
    return searchSetOf({
      baseUrl: context.baseUrl,
      self: selfLink(context, asked),
      next: nextLink(context, caller, asked, { end, until }),
      total: place === undefined && end === undefined ? matches.length : undefined,
      found: matches,
      included: [
        ...(await referredTo(tx, context, caller, matches)),
        ...(await provenanceOf(tx, caller, matches)),
      ],
      query,
    })
  })
}

const KNOWN = new Set([
  'start',
  'end',
  '_since',
  '_type',
  '_count',
  '_cursor',
  '_format',
  '_pretty',
])

interface AskedEverything extends AddressedQuery {
  /** Is the Patient itself among what is asked for? */
  readonly wantsPatient: (patient: StoredVersion) => boolean
}

function askedOf(
  context: Context,
  caller: Caller,
  { patientId, parameters }: { readonly patientId: string; readonly parameters: Pairs },
): AskedEverything {
  const faults: Fault[] = []
  for (const [name] of parameters)
    if (!KNOWN.has(name))
      faults.push(parameterFault(name, 'not-supported', '$everything has no such parameter.'))
  const start = careDate('start', parameters, faults)
  const end = careDate('end', parameters, faults)
  const since = parameters.find(([name]) => name === '_since')?.[1]
  if (faults.length > 0) throw new AppError('invalid-request', 'This cannot be asked so.', faults)
  const search: Pairs = [
    ...parameters.filter(([name]) => ['_type', '_count', '_cursor'].includes(name)),
    ...(since === undefined ? [] : [['_lastUpdated', `gt${since}`] as const]),
  ]
  const plan = planOf(context, caller, { patientId, parameters: search, handling: 'strict' })
  const searches = plan.query.searches
    .filter(({ type }) => type !== 'Patient' && allows(caller.scopes, type, 'r'))
    .map((one) => withinCare(one, [start, end]))
  const used = parameters.filter(([name, value]) => value !== '' && name !== '_cursor')
  return {
    path: `Patient/${patientId}/$everything`,
    wantsPatient: ({ updatedAt }) =>
      plan.query.searches.some(({ type }) => type === 'Patient') &&
      (since === undefined || updatedAt > (instantRange(since)?.from ?? '')),
    query: { ...plan.query, used, searches, count: Math.max(plan.query.count, 1) },
  }
}

function careDate(
  name: 'start' | 'end',
  parameters: Pairs,
  faults: Fault[],
): DateCriterion | undefined {
  const text = parameters.find(([given]) => given === name)?.[1]
  if (text === undefined || text === '') return undefined
  const span = instantRange(text)
  if (span !== undefined) return { prefix: name === 'start' ? 'ge' : 'le', ...span }
  faults.push(parameterFault(name, 'value', 'A day is needed, YYYY-MM-DD.'))
  return undefined
}

/** What has no date of care belongs to all of it. */
function withinCare(
  search: TypeSearch,
  limits: readonly (DateCriterion | undefined)[],
): TypeSearch {
  const row = rowOf(search.type)
  const paths = new Set(row?.columns.date ?? [])
  const atoms =
    row?.search
      .filter(({ kind }) => kind === 'date')
      .map(({ atoms: own }) => own)
      .find((own) => own.length > 0 && own.every(({ path }) => paths.has(path))) ?? []
  if (atoms.length === 0) return search
  const filters = limits.flatMap((limit): Filter[] =>
    limit === undefined
      ? []
      : [
          {
            kind: 'any',
            filters: [
              { kind: 'date', atoms, values: [limit] },
              { kind: 'missing', of: 'date', atoms, missing: true },
            ],
          },
        ],
  )
  return { ...search, filters: [...search.filters, ...filters] }
}

const IN_COMPARTMENT = new Set<string>(COMPARTMENT_ROWS.map(({ type }) => type))

/** People, places, organisations and devices that the matches name; nothing about other children. */
async function referredTo(
  tx: Tx,
  { baseUrl }: Context,
  { clinicId, scopes }: Caller,
  matches: readonly StoredVersion[],
): Promise<StoredVersion[]> {
  const keys = new Map(
    matches.flatMap((match) =>
      referencesIn(readEntry(match).resource, '').flatMap(({ reference }) => {
        const target = ownTarget(reference, baseUrl)
        return target === undefined ||
          IN_COMPARTMENT.has(target.type) ||
          !allows(scopes, target.type, 'r')
          ? []
          : [[`${target.type}/${target.id}`, target] as const]
      }),
    ),
  )
  if (keys.size === 0) return []
  return (await readResources(tx, clinicId, [...keys.values()])).filter(({ deleted }) => !deleted)
}

/** What says where the matches come from. */
async function provenanceOf(
  tx: Tx,
  { clinicId, scopes }: Caller,
  matches: readonly StoredVersion[],
): Promise<readonly StoredVersion[]> {
  const row = rowOf('Provenance')
  const param = row === undefined ? undefined : paramOf(row, 'target')
  if (param === undefined || matches.length === 0) return []
  const include = { kind: 'revinclude', type: 'Provenance', param, iterate: false } as const
  const { resources } = await includesOf(tx, clinicId, { includes: [include], matches }, (type) =>
    allows(scopes, type, 'r'),
  )
  return resources
}
