import { AppError, type Fault } from '../errors.ts'
import type { PrefetchKey } from './cds-services.ts'
import { isList, isObject, type JsonObject, valuesAt } from './element.ts'
import type { Resource } from './r4/types.ts'
import { validateResource } from './validate.ts'

/** What was sent along: null where nothing was found, absent where the query was not answered. */
export type Prefetch = Readonly<Record<string, unknown>>

type Of<T extends Resource['resourceType']> = Extract<Resource, { resourceType: T }>

export const cdsFault = (expression: string, rule: string, text: string): Fault => ({
  severity: 'error',
  code: 'invalid',
  expression,
  rule,
  text,
})

export const malformed = (faults: readonly Fault[]): AppError =>
  new AppError('invalid-request', 'The call cannot be read.', faults)

/** What is needed did not come, and nobody is asked for it. */
export const needed = (expression: string, text: string): AppError =>
  new AppError('data-needed', 'What is needed did not come with the call.', [
    { severity: 'error', code: 'required', expression, rule: 'cds-prefetch', text },
  ])

/** The one resource of a read; throws when it did not come or is not valid. */
export function prefetchedResource<T extends Resource['resourceType']>(
  prefetch: Prefetch,
  key: PrefetchKey,
  type: T,
): Of<T> {
  const value = prefetch[key]
  if (value === undefined || value === null || isOutcome(value)) throw absent(key)
  return asOf(type, value, `prefetch.${key}`)
}

/**
 * All of a type that a search found; none for null. Undefined when the search was not answered, or only a
 * page of it came: what is on the others may decide.
 */
export function prefetchedResources<T extends Resource['resourceType']>(
  prefetch: Prefetch,
  key: PrefetchKey,
  type: T,
): readonly Of<T>[] | undefined {
  const value = prefetch[key]
  if (value === undefined || isOutcome(value)) return undefined
  if (value === null) return []
  return isWhole(value) ? resourcesIn(value, type, `prefetch.${key}`) : undefined
}

/** Those of a type in a Bundle. */
export function resourcesIn<T extends Resource['resourceType']>(
  value: unknown,
  type: T,
  at: string,
): readonly Of<T>[] {
  const entries = isBundle(value) ? (value['entry'] ?? []) : undefined
  if (!isList(entries)) throw malformed([cdsFault(at, 'cds-bundle', 'A Bundle is needed.')])
  return entries.flatMap((entry, index) => {
    const resource = isObject(entry) ? entry['resource'] : undefined
    if (!isObject(resource) || resource['resourceType'] !== type) return []
    return [asOf(type, resource, `${at}.entry[${index}].resource`)]
  })
}

export const absent = (key: PrefetchKey): AppError =>
  needed(`prefetch.${key}`, `The whole answer to the query of ${key} is needed.`)

function asOf<T extends Resource['resourceType']>(type: T, value: unknown, at: string): Of<T> {
  const faults = validateResource(value, { at })
  if (faults.length > 0) throw malformed(faults)
  if (isResourceOf(value, type)) return value
  throw malformed([cdsFault(at, 'cds-type', `A ${type} is needed.`)])
}

const isResourceOf = <T extends Resource['resourceType']>(
  value: unknown,
  type: T,
): value is Of<T> => isObject(value) && value['resourceType'] === type

const isOutcome = (value: unknown): boolean =>
  isObject(value) && value['resourceType'] === 'OperationOutcome'

const isBundle = (value: unknown): value is JsonObject =>
  isObject(value) && value['resourceType'] === 'Bundle'

/** Neither a page of more, nor with an error among what was found. */
const isWhole = (value: unknown): boolean =>
  !valuesAt(value, 'link.relation').includes('next') &&
  !valuesAt(value, 'entry.resource')
    .filter(isOutcome)
    .flatMap((outcome) => valuesAt(outcome, 'issue.severity'))
    .some((severity) => severity === 'error' || severity === 'fatal')
