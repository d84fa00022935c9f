import { AppError, type Fault } from '../errors.ts'
import { MAX_ENTRIES } from '../fhir/bundle-faults.ts'
import { matches } from '../fhir/matches.ts'
import { type FoundReference, type KeptEntries, referencesIn } from '../fhir/reference-map.ts'
import { searchValues } from '../fhir/search-values.ts'
import type { Resource } from '../fhir/r4/types.ts'
import type { Caller } from '../security/access-token.ts'
import type { Tx } from '../storage/transaction.ts'
import { type Condition, onlyMatch, queryOf, storedMatches, TOO_MANY } from './conditions.ts'
import type { Context } from './context.ts'
import type { Content } from './new-contents.ts'

const CONDITIONAL = /^([A-Z][A-Za-z]{1,60})\?(.+)$/s

/** Those of an entry of a batch, in which there are none (R4 3.1.0.11.2): its entries are as if sent alone. */
export const conditionalReferenceFaults = (resource: Resource, at: string): Fault[] =>
  referencesIn(resource, at).filter(isConditional).map(conditionalFault)

export const isConditional = ({ reference }: FoundReference): boolean => CONDITIONAL.test(reference)

export const conditionalFault = ({ expression }: FoundReference): Fault => ({
  severity: 'error',
  code: 'not-supported',
  expression,
  rule: 'reference-conditional',
  text: 'A conditional reference stands in a transaction only: send a transaction, or Type/id.',
})

/**
 * Where the references lead that are written as a search, `Patient?identifier=…`: each to the one resource
 * that it finds once the transaction has deleted, created and changed what it says (R4 3.1.0.11.2).
 *
 * @param contents what will be kept, with what its entries call each other replaced
 */
export async function conditionalReferences(
  tx: Tx,
  context: Context,
  caller: Caller,
  contents: readonly Content[],
): Promise<KeptEntries> {
  const distinct = conditionsIn(contents)
  if (distinct.size === 0) return new Map()
  const conditions = [...distinct.values()]
  const changed = contents.filter(({ does }) => does !== 'nothing')
  // What is kept counts only where it is not changed: so many more have to be looked at.
  const isAllNew = changed.every(({ current }) => current === undefined)
  const most = isAllNew ? TOO_MANY : TOO_MANY + MAX_ENTRIES
  const stored = await storedMatches(tx, context, caller, { conditions, most })
  const places = [...distinct].map(([reference, condition], index) => {
    const kept = (stored[index] ?? []).map(({ type, id }) => `${type}/${id}`)
    const found = onlyMatch(condition, matchesAfter(context, condition, { kept, changed }))
    return { reference, condition, place: found }
  })
  const missing = places.filter(({ place }) => place === undefined)
  if (missing.length > 0)
    throw new AppError('invalid-resource', 'A reference leads nowhere.', missing.map(faultOf))
  return new Map(
    places.flatMap(({ reference, place }) =>
      place === undefined ? [] : [[reference, { place }] as const],
    ),
  )
}

/** Each conditional reference with the place where it stands first. */
function conditionsIn(contents: readonly Content[]): ReadonlyMap<string, Condition> {
  const found = new Map<string, Condition>()
  for (const { resource, operation } of contents) {
    if (resource === undefined || !operation.resourceAt.startsWith('Bundle.')) continue
    for (const { reference, expression } of referencesIn(resource, operation.resourceAt)) {
      const [, type, query] = CONDITIONAL.exec(reference) ?? []
      if (type !== undefined && query !== undefined && !found.has(reference))
        found.set(reference, { type, query, at: expression })
    }
  }
  return found
}

/** What a condition finds when all is done: of what is changed, what it will say. */
function matchesAfter(
  context: Context,
  condition: Condition,
  { kept, changed }: { readonly kept: readonly string[]; readonly changed: readonly Content[] },
): string[] {
  const own = changed.filter(({ operation }) => operation.type === condition.type)
  if (own.length === 0) return [...kept]
  const { baseUrl, now } = context
  const query = queryOf(context, condition)
  const touched = new Map(own.map((one) => [`${condition.type}/${one.id}`, one]))
  const found = [...touched].filter(([place, { id, resource }]) => {
    if (resource === undefined) return false
    const key = { type: condition.type, id }
    const values = searchValues({ ...key, baseUrl }, resource)
    // What leads over other resources is as it was before.
    return matches(query, { ...key, updatedAt: now().toISOString(), values }, () =>
      kept.includes(place),
    )
  })
  return [...kept.filter((place) => !touched.has(place)), ...found.map(([place]) => place)]
}

const faultOf = ({ condition: { at } }: { readonly condition: Condition }): Fault => ({
  severity: 'error',
  code: 'not-found',
  expression: at,
  rule: 'reference-exists',
  text: 'No resource matches this conditional reference.',
})
