import { askedWrongly, type Fault } from '../errors.ts'
import { ANSWER_FORM, namesOf } from '../fhir/asked-parameter.ts'
import { aboutAnyPatient, COMPARTMENT_ROWS } from '../fhir/compartment.ts'
import { instantRange } from '../fhir/date-range.ts'
import { EVERYTHING_PARAMETERS } from '../fhir/everything-parameters.ts'
import type { TypeSearch } from '../fhir/query.ts'
import { parameterFault } from '../fhir/query-values.ts'
import { rowOf } from '../fhir/registry.ts'
import type { DateCriterion, Filter } from '../fhir/search-filter.ts'
import type { Caller } from '../security/access-token.ts'
import { allows } from '../security/scopes.ts'
import type { Context } from './context.ts'
import type { AddressedQuery } from './search-links.ts'
import { planOf } from './search-plan.ts'
import type { Need } from './unit-of-work.ts'

export type Pairs = readonly (readonly [string, string])[]

export interface EverythingRequest {
  /** Undefined: of every Patient in sight. */
  readonly patientId: string | undefined
  readonly parameters: Pairs
}

export interface AskedEverything extends AddressedQuery {
  readonly needs: readonly Need[]
  /** The search for the Patients themselves; undefined where they are not asked for. */
  readonly patients: TypeSearch | undefined
  /** What is about them. */
  readonly rest: readonly TypeSearch[]
  /** Is a type among those that are answered? */
  readonly isWanted: (type: string) => boolean
}

const KNOWN = namesOf([...EVERYTHING_PARAMETERS, ...ANSWER_FORM])

/** Reads what $everything was asked. Throws AppError with every fault. */
export function askedOf(
  context: Context,
  caller: Caller,
  { patientId, parameters }: EverythingRequest,
): AskedEverything {
  const faults: Fault[] = []
  for (const [name] of parameters)
    if (!KNOWN.includes(name))
      faults.push(parameterFault(name, 'not-supported', '$everything has no such parameter.'))
  const limits = [careDate('start', parameters, faults), careDate('end', parameters, faults)]
  const since = sinceOf(parameters, faults)
  if (faults.length > 0) throw askedWrongly(faults)
  const named = namedTypes(parameters)
  const search: Pairs = [
    ...parameters.filter(([name]) => ['_count', '_cursor'].includes(name)),
    ...since.map((value) => ['_lastUpdated', `gt${value}`] as const),
    ['_type', walkedTypes(caller, named).join(',')],
  ]
  const of = patientId === undefined ? {} : { patientId }
  const { query } = planOf(context, caller, { ...of, parameters: search, handling: 'strict' })
  const patients = query.searches.find(({ type }) => type === 'Patient')
  return {
    path: ['Patient', ...(patientId === undefined ? [] : [patientId]), '$everything'].join('/'),
    needs: ['Patient', ...named].flatMap((type): Need[] => [
      { type, letter: 'r' },
      ...(comesAlong(type) || (type === 'Patient' && patientId !== undefined)
        ? []
        : [{ type, letter: 's' } as const]),
    ]),
    isWanted: (type) => named.length === 0 || named.includes(type),
    patients: patients && (patientId === undefined ? patients : itself(patients, patientId)),
    rest: query.searches
      .filter(({ type }) => type !== 'Patient')
      .map((one) => withinCare(patientId === undefined ? aboutAny(one) : one, limits)),
    query: {
      ...query,
      used: parameters.filter(([name, value]) => value !== '' && name !== '_cursor'),
    },
  }
}

const IN_COMPARTMENT = new Set<string>(COMPARTMENT_ROWS.map(({ type }) => type))

/** What is in no compartment comes with what refers to it, a Provenance with what it is about. */
export const comesAlong = (type: string): boolean =>
  type === 'Provenance' || !IN_COMPARTMENT.has(type)

/** Where something is asked for that comes along, all is walked that it may come with. */
function walkedTypes(caller: Caller, named: readonly string[]): readonly string[] {
  if (named.length > 0 && !named.some(comesAlong)) return named
  const own = named.filter((type) => IN_COMPARTMENT.has(type))
  return [...new Set([...allowedTypes(caller), ...own])]
}

/** Throws for a type that is not kept here. */
function namedTypes(parameters: Pairs): string[] {
  const named = parameters
    .flatMap(([name, value]) => (name === '_type' ? value.split(',') : []))
    .filter((type) => type !== '')
  const isKept = (type: string) => {
    const row = rowOf(type)
    return row !== undefined && row.published !== true
  }
  if (named.every(isKept)) return [...new Set(named)]
  throw askedWrongly([parameterFault('_type', 'value', '_type names types that are kept here.')])
}

/** What is not allowed is left out, unless it is asked for by its name. */
const allowedTypes = ({ scopes }: Caller): string[] =>
  COMPARTMENT_ROWS.filter(({ byNameOnly }) => byNameOnly !== true)
    .map(({ type }): string => type)
    .filter(
      (type) => type === 'Patient' || (allows(scopes, type, 'r') && allows(scopes, type, 's')),
    )

/** The Patient alone, not those that are linked with it. */
const itself = ({ type, filters }: TypeSearch, patientId: string): TypeSearch => ({
  type,
  filters: [{ kind: 'id', ids: [patientId] }, ...filters.slice(1)],
})

function aboutAny({ type, filters }: TypeSearch): TypeSearch {
  const row = rowOf(type)
  return { type, filters: row === undefined ? filters : [aboutAnyPatient(row), ...filters] }
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

function sinceOf(parameters: Pairs, faults: Fault[]): string[] {
  const since = parameters.flatMap(([name, value]) =>
    name === '_since' && value !== '' ? [value] : [],
  )
  if (since.some((value) => instantRange(value) === undefined))
    faults.push(parameterFault('_since', 'value', 'An instant is needed, YYYY-MM-DDThh:mm:ssZ.'))
  return since
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
