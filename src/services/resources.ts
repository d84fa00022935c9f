import { AppError } from '../errors.ts'
import { type Handling, parseQuery, type Query, writeCursor } from '../fhir/query.ts'
import { rowOf } from '../fhir/registry.ts'
import type { ResourceTypeRow } from '../fhir/registry-row.ts'
import type { Resource } from '../fhir/r4/types.ts'
import { identifierCriterion } from '../fhir/transaction-entries.ts'
import type { Caller } from '../security/access-token.ts'
import { insertVersions } from '../storage/resource-writes.ts'
import { readResource, readVersion } from '../storage/resources.ts'
import { countMatches, searchPage } from '../storage/search.ts'
import { searchSetOf } from './bundle-text.ts'
import { checkedResource } from './checked-resource.ts'
import { refuseWithoutConsent, regimeOfSender } from './consent-gate.ts'
import type { Context } from './context.ts'
import { latestDay } from './day.ts'
import { triageOfIntake } from './intake-triage.ts'
import { type Kept, place } from './placement.ts'
import { refuseNewRuleSets } from './rule-set-states.ts'
import { unitOfWork } from './unit-of-work.ts'

/** The registry's row of a type, or the answer that we do not keep it. */
export function keptType(type: string): ResourceTypeRow {
  const row = rowOf(type)
  if (row === undefined) throw new AppError('not-found', 'This service does not keep this type.')
  return row
}

export function read(
  context: Context,
  caller: Caller,
  { type, id }: { readonly type: string; readonly id: string },
): Promise<Kept> {
  keptType(type)
  return unitOfWork(context, caller, [{ type, letter: 'r' }], async (tx) => {
    const found = await readResource(tx, { clinicId: caller.clinicId, type, id })
    if (found === undefined) throw new AppError('not-found', `There is no such ${type}.`)
    if (found.deleted) throw new AppError('deleted', `This ${type} was deleted.`)
    return found
  })
}

export function vread(
  context: Context,
  caller: Caller,
  key: { readonly type: string; readonly id: string; readonly version: string },
): Promise<Kept> {
  const { type, id } = key
  keptType(type)
  return unitOfWork(context, caller, [{ type, letter: 'r' }], async (tx) => {
    const version = /^[1-9]\d{0,8}$/.test(key.version) ? Number(key.version) : 0
    const found = await readVersion(tx, { clinicId: caller.clinicId, type, id, version })
    if (found === undefined) throw new AppError('not-found', `There is no such version.`)
    if (found.deleted) throw new AppError('deleted', `This version is the deletion.`)
    return found
  })
}

export interface SearchRequest {
  readonly type: string
  readonly parameters: readonly (readonly [string, string])[]
  readonly handling: Handling
}

/** @returns a searchset Bundle as JSON */
export function search(
  context: Context,
  caller: Caller,
  { type, parameters, handling }: SearchRequest,
): Promise<string> {
  const query = parseQuery(keptType(type), parameters, {
    handling,
    baseUrl: context.baseUrl,
  })
  return unitOfWork(context, caller, [{ type, letter: 's' }], async (tx) => {
    if (query.count === 0) {
      const total = await countMatches(tx, caller.clinicId, query)
      return searchSetOf({ ...linksOf(context, query, undefined), total, found: [] })
    }
    const { found, more } = await searchPage(tx, caller.clinicId, query)
    const last = more ? found.at(-1) : undefined
    const whole = !more && query.cursor === undefined
    return searchSetOf({
      ...linksOf(context, query, last),
      total: whole ? found.length : undefined,
      found,
    })
  })
}

function linksOf({ baseUrl }: Context, query: Query, last: Kept | undefined) {
  const url = (pairs: readonly (readonly [string, string])[]) => {
    const text = new URLSearchParams(
      pairs.map(([name, value]): [string, string] => [name, value]),
    ).toString()
    return text === '' ? `${baseUrl}/${query.type}` : `${baseUrl}/${query.type}?${text}`
  }
  const next = last === undefined ? undefined : url([...query.used, ['_cursor', writeCursor(last)]])
  return { baseUrl, self: url(query.used), next }
}

export interface CreateRequest {
  readonly type: string
  readonly body: unknown
  /** The header If-None-Exist, a query without `?`. */
  readonly ifNoneExist: string | undefined
}

export interface Created {
  readonly kept: Kept
  /** False when the condition found it. */
  readonly created: boolean
}

export function create(
  context: Context,
  caller: Caller,
  { type, body, ifNoneExist }: CreateRequest,
): Promise<Created> {
  if (!keptType(type).interactions.includes('create'))
    throw new AppError('method-not-allowed', `A ${type} is written by this service only.`)
  const resource = checkedResource(type, body, latestDay(context))
  refuseAlone(resource)
  const criterion = ifNoneExist === undefined ? undefined : identifierCriterion(ifNoneExist)
  if (ifNoneExist !== undefined && criterion === undefined)
    throw new AppError(
      'invalid-request',
      'If-None-Exist is written identifier=system|value in this service.',
    )
  return unitOfWork(context, caller, [{ type, letter: 'c' }], async (tx) => {
    const entry = {
      at: type,
      resourceAt: type,
      conditionAt: 'http."If-None-Exist"',
      fullUrl: undefined,
      resource,
      ifNoneExist: criterion,
    }
    const [[placed], regime] = await Promise.all([
      place(tx, context, caller, [entry]),
      regimeOfSender(tx, caller),
    ])
    if (placed === undefined) throw new Error('An entry was not placed')
    const { kept, written } = placed
    if (written === undefined) return { kept, created: false }
    await refuseNewRuleSets(tx, context, caller.clinicId, [entry])
    await refuseWithoutConsent(tx, context, caller, { regime, entries: [entry], placed: [placed] })
    const derived = await triageOfIntake(tx, context, caller, [written])
    await insertVersions(tx, caller.clinicId, [written.stored, ...derived])
    return { kept, created: true }
  })
}

/** A DeviceDefinition is part of a size chart, which is taken as a whole. */
function refuseAlone({ resourceType }: Resource): void {
  if (resourceType !== 'DeviceDefinition') return
  throw new AppError('invalid-resource', 'A size chart is sent as a whole.', [
    {
      severity: 'error',
      code: 'business-rule',
      expression: resourceType,
      rule: 'size-chart-set',
      text: 'A size chart is sent in one transaction Bundle: the DeviceDefinition of the line, and one per size whose parentDevice it is.',
    },
  ])
}
