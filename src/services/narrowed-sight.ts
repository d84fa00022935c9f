import { AppError, type Fault } from '../errors.ts'
import { scopeRestriction } from '../fhir/scope-restriction.ts'
import type { Caller } from '../security/access-token.ts'
import { narrowedTypes, narrowingOf, type Scope } from '../security/scopes.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import { outsideGrant } from '../storage/scope.ts'
import type { Tx } from '../storage/transaction.ts'

// What a token's scopes with a search part leave of a type. The database hides the rest from every
// statement of its transactions (policy `granted_rows`); searches say it too, so that an index leads there.

/** Nothing is left of a type whose restriction cannot be read any more. */
const NOTHING = '1 == 2'

const SETTINGS = new WeakMap<readonly Scope[], string>()

/** The setting that the policies read, JSON of type and predicate; undefined when no type is narrowed. */
export function narrowingSetting(scopes: readonly Scope[]): string | undefined {
  if (scopes.every(({ query }) => query === undefined)) return undefined
  const known = SETTINGS.get(scopes)
  if (known !== undefined) return known === '' ? undefined : known
  const types = narrowedTypes(scopes)
  const setting =
    types.length === 0
      ? ''
      : JSON.stringify(Object.fromEntries(types.map((type) => [type, predicateOf(scopes, type)])))
  SETTINGS.set(scopes, setting)
  return setting === '' ? undefined : setting
}

const predicateOf = (scopes: readonly Scope[], type: string): string =>
  narrowingOf(scopes, type)
    .map((queries) => {
      const read = queries.map((query) => scopeRestriction(type, query))
      const predicates = read.map((one) => ('predicate' in one ? one.predicate : NOTHING))
      return `(${predicates.map((one) => `(${one})`).join(' || ')})`
    })
    .join(' && ')

/** Can every search part be read, so that what is granted by it is more than nothing? */
export const isReadable = (scopes: readonly Scope[]): boolean =>
  scopes.every(
    ({ type, query }) => query === undefined || 'predicate' in scopeRestriction(type, query),
  )

/** Why scopes cannot be registered with their search parts. */
export const restrictionFaults = (scopes: readonly Scope[]): readonly string[] =>
  scopes.flatMap((scope) => {
    const { type, query, letters } = scope
    if (query === undefined) return []
    const read = scopeRestriction(type, query)
    if ('refused' in read) return [read.refused]
    const isLifted = scopes.some(
      (other) =>
        other.query === undefined &&
        (other.type === type || other.type === '*') &&
        letters.some((letter) => other.letters.includes(letter)),
    )
    return isLifted ? [`A scope of ${type} has a search part, and another grants all of it.`] : []
  })

/** What is computed from the whole record is not for a token that sees a part of it. */
export const notForNarrowed = (): AppError =>
  new AppError('scope-missing', 'The token does not allow this.', [
    {
      severity: 'error',
      code: 'forbidden',
      expression: 'http.Authorization',
      rule: 'narrowed-scope',
      text: 'A scope of the token has a search part. With it resources are read, searched, exported and written, and nothing else is asked.',
    },
  ])

/** Subscribers are told of what their partner may have: a token that sees less of it subscribes to nothing. */
export function refuseSubscribing(
  { scopes }: Caller,
  needs: readonly { readonly type: string; readonly letter: string }[],
): void {
  const subscribes = needs.some(
    ({ type, letter }) => type === 'Subscription' && 'cu'.includes(letter),
  )
  if (!subscribes || narrowingSetting(scopes) === undefined) return
  throw new AppError('scope-missing', 'The token does not allow this.', [
    {
      severity: 'error',
      code: 'forbidden',
      expression: 'http.Authorization',
      rule: 'narrowed-scope',
      text: 'A scope of the token has a search part, and a Subscription would tell of what it leaves out.',
    },
  ])
}

/** A client of whom a type is narrowed writes no resource of it that it might not read. */
export async function refuseOutsideGrant(
  tx: Tx,
  { scopes }: Caller,
  changes: readonly {
    readonly resourceAt: string
    readonly written: { readonly stored: NewVersion }
  }[],
): Promise<void> {
  const narrowed = narrowingSetting(scopes)
  if (narrowed === undefined) return
  const kept = changes.filter(({ written }) => !written.stored.deleted)
  const outside = await outsideGrant(
    tx,
    narrowed,
    kept.map(({ written }) => written.stored),
  )
  const faults = kept.flatMap(({ resourceAt }, index): Fault[] =>
    outside.has(index) ? [outsideFault(resourceAt)] : [],
  )
  if (faults.length > 0)
    throw new AppError('scope-missing', 'The token does not allow this.', faults)
}

const outsideFault = (expression: string): Fault => ({
  severity: 'error',
  code: 'forbidden',
  expression,
  rule: 'scope',
  text: 'The token allows resources of this type only as the search part of its scope finds them.',
})
