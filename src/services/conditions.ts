import { AppError } from '../errors.ts'
import { parseCondition, type Query, typesTouched } from '../fhir/query.ts'
import { rowOf } from '../fhir/registry.ts'
import type { Caller } from '../security/access-token.ts'
import { findByIdentifiers } from '../storage/identifiers.ts'
import { serialise } from '../storage/idempotency.ts'
import { searchMatches } from '../storage/search.ts'
import { refuseAmbiguity } from './search-ambiguity.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { publishedFound } from './published-found.ts'
import { readingOf } from './search-plan.ts'
import { refuseMissing } from './unit-of-work.ts'
import type { Kept } from './write.ts'

/** A search that says which resource is meant. */
export interface Condition {
  readonly type: string
  /** A query without `?`. */
  readonly query: string
  /** Where it stands, for the answer when it cannot be used. */
  readonly at: string
}

interface Identifier {
  readonly system: string
  readonly value: string
}

/**
 * What each condition finds, in the order of the conditions; more than one match is refused. Two requests
 * with the same condition wait for each other, so that both do not create.
 */
export async function conditionalMatches(
  tx: Tx,
  context: Context,
  caller: Caller,
  conditions: readonly Condition[],
): Promise<(Kept | undefined)[]> {
  const matches = await storedMatches(tx, context, caller, { conditions, most: TOO_MANY })
  return conditions.map((condition, index) => onlyMatch(condition, matches[index] ?? []))
}

/** So many matches are ambiguous. */
export const TOO_MANY = 2

/** What is there already that each condition finds, at most so many of each that are kept. */
export async function storedMatches(
  tx: Tx,
  context: Context,
  caller: Caller,
  { conditions, most }: { readonly conditions: readonly Condition[]; readonly most: number },
): Promise<(readonly Kept[])[]> {
  if (conditions.length === 0) return []
  const identified = conditions.flatMap((condition) => {
    const identifier = identifierOf(condition.query)
    return identifier === undefined ? [] : [{ condition, type: condition.type, ...identifier }]
  })
  // On one connection they are done in this order: what is looked up is seen after the wait.
  const [, found] = await Promise.all([
    serialise(
      tx,
      conditions.map((condition) => lockOf(caller, condition)),
    ),
    identified.length === 0
      ? []
      : findByIdentifiers(tx, caller.clinicId, { criteria: identified, most }),
  ])
  const matches = new Map<Condition, readonly Kept[]>()
  for (const { condition, type, system, value } of identified)
    matches.set(
      condition,
      found.filter((row) => row.type === type && row.system === system && row.value === value),
    )
  for (const condition of conditions)
    if (!matches.has(condition))
      matches.set(condition, await searched(tx, context, caller, { condition, most }))
  return conditions.map((condition) => matches.get(condition) ?? [])
}

/** Two conditions of different wording may mean the same, so of one type they all wait for each other. */
function lockOf({ clinicId, partnerId = '' }: Caller, { type, query }: Condition): string {
  const identifier = identifierOf(query)
  const what = identifier === undefined ? 'search' : `${identifier.system} ${identifier.value}`
  return ['condition', clinicId, partnerId, type, what].join(' ')
}

/** `identifier=system|value`, the condition of nearly all; it is looked up together with its like. */
export function identifierOf(query: string): Identifier | undefined {
  const pairs = [...new URLSearchParams(query)]
  const [pair] = pairs
  if (pairs.length !== 1 || pair?.[0] !== 'identifier' || pair[1].includes('\0')) return undefined
  const [, system, value] = /^([^|,\\]+)\|([^|,\\]+)$/.exec(pair[1]) ?? []
  return system === undefined || value === undefined ? undefined : { system, value }
}

/**
 * A name that its sender gave is looked up, and nothing that the service publishes has one; anything else is
 * a search, of what is published too, and allowed as one.
 */
async function searched(
  tx: Tx,
  context: Context,
  caller: Caller,
  { condition, most }: { readonly condition: Condition; readonly most: number },
): Promise<readonly Kept[]> {
  const query = queryOf(context, condition)
  refuseMissing(caller, typesTouched(query))
  await refuseAmbiguity(tx, caller, query, condition.at)
  const stored = await searchMatches(tx, caller, query, most)
  return [...stored, ...(await publishedFound(tx, context, caller, query))]
}

export function queryOf(context: Context, { type, query: text, at }: Condition): Query {
  const row = rowOf(type)
  if (row === undefined) throw unusable(at, 'This type is not kept here.')
  const pairs = [...new URLSearchParams(text)]
  return conditionOf(at, () => parseCondition(row, pairs, readingOf(context)))
}

/** Every fault of a condition is named where the condition stands. */
function conditionOf(at: string, read: () => Query): Query {
  try {
    return read()
  } catch (error) {
    if (!(error instanceof AppError)) throw error
    throw new AppError(
      'invalid-request',
      'The condition cannot be used.',
      error.faults.map((fault) => ({ ...fault, expression: at })),
    )
  }
}

/** The one that is meant; throws where it could be several. */
export function onlyMatch<Match>(
  { at }: Condition,
  [match, ...others]: readonly Match[],
): Match | undefined {
  if (others.length === 0) return match
  throw new AppError('multiple-matches', 'A condition is ambiguous.', [
    {
      severity: 'error',
      code: 'multiple-matches',
      expression: at,
      rule: 'entry-condition',
      text: 'Several resources match this condition; at most one may.',
    },
  ])
}

const unusable = (at: string, text: string): AppError =>
  new AppError('invalid-request', 'The condition cannot be used.', [
    { severity: 'error', code: 'invalid', expression: at, rule: 'entry-condition', text },
  ])
