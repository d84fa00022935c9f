import { AppError } from '../errors.ts'
import { historyParameters } from '../fhir/history-query.ts'
import type { Handling } from '../fhir/query-reading.ts'
import { REGISTRY, rowOf } from '../fhir/registry.ts'
import type { Caller } from '../security/access-token.ts'
import { allows } from '../security/scopes.ts'
import { historyPage, versionCount } from '../storage/history.ts'
import { readResource, type StoredVersion } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { historyBundle } from './history-bundle.ts'
import {
  type Asked,
  type HistoryTarget,
  nextLink,
  selfLink,
  type Walk,
  walkOf,
} from './history-links.ts'
import { noteVersions } from './noted-versions.ts'
import { publishedResource } from './published.ts'
import { type Need, unitOfWork } from './unit-of-work.ts'

type Pairs = readonly (readonly [string, string])[]

/** Which history, and what is asked of it. */
export interface Question {
  readonly target: HistoryTarget
  readonly pairs: Pairs
  readonly handling: Handling
}

/** @returns a history Bundle as JSON, newest first, deletions included */
export function history(context: Context, caller: Caller, question: Question): Promise<string> {
  const asked = askedOf(context, caller, question)
  return unitOfWork(context, caller, asked.needs, (tx) => answer(tx, context, caller, asked))
}

/** The same inside a unit of work that is already there, which may have been opened for less. */
export function historyIn(
  tx: Tx,
  context: Context,
  caller: Caller,
  question: Question,
): Promise<string> {
  const asked = askedOf(context, caller, question)
  const missing = asked.needs.filter(({ type, letter }) => !allows(caller.scopes, type, letter))
  if (missing.length > 0) throw new AppError('scope-missing', 'The token does not allow this.')
  return answer(tx, context, caller, asked)
}

interface AskedHistory extends Asked {
  readonly needs: readonly Need[]
  readonly walk: Walk
}

function askedOf(
  context: Context,
  caller: Caller,
  { target, pairs, handling }: Question,
): AskedHistory {
  const asked = historyParameters(pairs, handling)
  const needs = needsOf(caller, target)
  return { target, asked, needs, walk: walkOf(context, caller, { target, asked }) }
}

async function answer(
  tx: Tx,
  context: Context,
  caller: Caller,
  { target, asked, needs, walk }: AskedHistory,
): Promise<string> {
  const { found, more } = await historyPage(tx, caller.clinicId, {
    types: needs.map(({ type }) => type),
    ...(target.id === undefined ? {} : { id: target.id }),
    ...asked,
    ...walk,
  })
  const last = more ? found.at(-1) : undefined
  noteVersions(context, caller, found)
  if (found.length === 0) await refuseUnknown(tx, context, caller, target)
  return historyBundle({
    baseUrl: context.baseUrl,
    until: walk.until,
    total: await totalOf(tx, caller, { target, asked, walk, found, more }),
    found,
    self: selfLink(context, { target, asked }),
    next: last && nextLink(context, caller, { target, asked, until: walk.until, last }),
  })
}

/** SMART counts the history of an instance as reading it, that of a type as searching it. */
function needsOf({ scopes }: Caller, { type, id }: HistoryTarget): Need[] {
  if (type !== undefined) {
    const row = rowOf(type)
    if (row === undefined || row.published === true)
      throw new AppError('not-found', 'This service keeps no history of this type.')
    return [{ type, letter: id === undefined ? 's' : 'r' }]
  }
  const searchable = REGISTRY.filter(
    (row) => row.published !== true && row.byNameOnly !== true && allows(scopes, row.type, 's'),
  )
  if (searchable.length === 0) return [{ type: '*', letter: 's' }]
  return searchable.map((row) => ({ type: row.type, letter: 's' }))
}

/** Nothing in sight may be because of what was asked for; a resource that never was is not found. */
async function refuseUnknown(
  tx: Tx,
  context: Context,
  { clinicId }: Caller,
  { type, id }: HistoryTarget,
): Promise<void> {
  if (type === undefined || id === undefined) return
  if (publishedResource(context, { type, id }) !== undefined)
    throw new AppError(
      'not-found',
      `This ${type} is published by the service itself, which keeps no history of it: read it.`,
    )
  if ((await readResource(tx, { clinicId, type, id })) === undefined)
    throw new AppError('not-found', `There is no such ${type}.`)
}

/** Counted only where it costs little: what fits on one page, and the versions of one resource. */
async function totalOf(
  tx: Tx,
  { clinicId }: Caller,
  {
    target: { type, id },
    asked,
    walk: { until, after },
    found,
    more,
  }: Asked & { walk: Walk; found: readonly StoredVersion[]; more: boolean },
): Promise<number | undefined> {
  if (!more && after === undefined) return found.length
  if (type === undefined || id === undefined) return undefined
  if (asked.since !== undefined || asked.at !== undefined) return undefined
  return versionCount(tx, { clinicId, type, id, until })
}
