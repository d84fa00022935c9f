import { AppError, type Fault } from '../errors.ts'
import { referencesIn } from '../fhir/reference-map.ts'
import type { Resource } from '../fhir/r4/types.ts'
import type { Caller } from '../security/access-token.ts'
import type { Tx } from '../storage/transaction.ts'
import { type Condition, conditionalMatches } from './conditions.ts'
import type { Context } from './context.ts'

interface Holding {
  readonly operation: { readonly resourceAt: string }
  readonly resource: Resource | undefined
}

const CONDITIONAL = /^([A-Z][A-Za-z]{1,60})\?(.+)$/s

/** Those of an entry of a batch, in which there are none (R4 3.1.0.11.2): its entries are as if sent alone. */
export const conditionalReferenceFaults = (resource: Resource, at: string): Fault[] =>
  referencesIn(resource, at)
    .filter(({ reference }) => CONDITIONAL.test(reference))
    .map(({ expression }) => ({
      severity: 'error',
      code: 'not-supported',
      expression,
      rule: 'reference-conditional',
      text: 'A conditional reference stands in a transaction only: send a transaction, or Type/id.',
    }))

/**
 * Where the references lead that are written as a search, `Patient?identifier=…`: each to the one resource
 * that it finds. They are looked up before anything is written, in the same transaction.
 */
export async function conditionalReferences(
  tx: Tx,
  context: Context,
  caller: Caller,
  contents: readonly Holding[],
): Promise<Map<string, string>> {
  const found = contents.flatMap(({ resource, operation: { resourceAt } }) =>
    resource === undefined || !resourceAt.startsWith('Bundle.')
      ? []
      : referencesIn(resource, resourceAt).flatMap(({ reference, expression }) => {
          const [, type, query] = CONDITIONAL.exec(reference) ?? []
          return type === undefined || query === undefined
            ? []
            : [{ reference, condition: { type, query, at: expression } satisfies Condition }]
        }),
  )
  const distinct = [...new Map(found.map((one) => [one.reference, one])).values()]
  const matches = await conditionalMatches(
    tx,
    context,
    caller,
    distinct.map(({ condition }) => condition),
  )
  const missing = distinct.filter((_one, index) => matches[index] === undefined)
  if (missing.length > 0)
    throw new AppError('invalid-resource', 'A reference leads nowhere.', missing.map(faultOf))
  return new Map(
    distinct.flatMap(({ reference }, index) => {
      const match = matches[index]
      return match === undefined ? [] : [[reference, `${match.type}/${match.id}`] as const]
    }),
  )
}

const faultOf = ({ condition: { at } }: { readonly condition: Condition }): Fault => ({
  severity: 'error',
  code: 'not-found',
  expression: at,
  rule: 'reference-exists',
  text: 'No resource matches this conditional reference.',
})
