import type { Fault } from '../errors.ts'
import { isObject } from './element.ts'
import { profileFaults } from './profiles.ts'
import type { Bundle, Resource } from './r4/types.ts'
import { rowOf } from './registry.ts'
import { isTyped } from './validate.ts'

/** The most entries one transaction may have. */
export const MAX_ENTRIES = 500

/** One create of a transaction, checked. */
export interface CreateEntry {
  /** `Bundle.entry[3]`. */
  readonly at: string
  /** `Bundle.entry[3].resource`. */
  readonly resourceAt: string
  /** `Bundle.entry[3].request.ifNoneExist`. */
  readonly conditionAt: string
  readonly fullUrl: string | undefined
  readonly resource: Resource
  /** The identifier that makes the create conditional. */
  readonly ifNoneExist: IdentifierCriterion | undefined
}

export interface IdentifierCriterion {
  readonly system: string
  readonly value: string
}

const fault = (expression: string, rule: string, text: string, code = 'invalid'): Fault => ({
  severity: 'error',
  code,
  expression,
  rule,
  text,
})

/** The entries of a transaction in the order sent, or everything that is wrong with them. */
export function transactionEntries(bundle: Bundle): {
  readonly entries: readonly CreateEntry[]
  readonly faults: readonly Fault[]
} {
  if (bundle.type !== 'transaction')
    return {
      entries: [],
      faults: [
        fault(
          'Bundle.type',
          'bundle-type',
          'A Bundle of type transaction is taken here.',
          'not-supported',
        ),
      ],
    }
  const sent = bundle.entry ?? []
  if (sent.length > MAX_ENTRIES)
    return {
      entries: [],
      faults: [
        fault(
          'Bundle.entry',
          'bundle-size',
          `At most ${MAX_ENTRIES} entries are taken.`,
          'too-costly',
        ),
      ],
    }
  const faults: Fault[] = []
  const entries = sent.flatMap((entry, index) => entryOf(entry, `Bundle.entry[${index}]`, faults))
  return { entries, faults }
}

type Sent = NonNullable<Bundle['entry']>[number]

function entryOf(entry: Sent, at: string, faults: Fault[]): CreateEntry[] {
  const { request, resource, fullUrl } = entry
  if (request === undefined) return []
  if (request.method !== 'POST') {
    const text = 'Only POST is taken in a transaction.'
    faults.push(fault(`${at}.request.method`, 'entry-method', text, 'not-supported'))
    return []
  }
  if (resource === undefined || !isTyped(resource) || rowOf(resource.resourceType) === undefined) {
    const text = 'A POST needs a resource of a type that this service keeps.'
    faults.push(fault(`${at}.resource`, 'entry-resource', text, 'not-supported'))
    return []
  }
  if (request.url !== resource.resourceType)
    faults.push(
      fault(`${at}.request.url`, 'entry-url', `The url of this POST is ${resource.resourceType}.`),
    )
  const resourceAt = `${at}.resource`
  const conditionAt = `${at}.request.ifNoneExist`
  const ifNoneExist =
    request.ifNoneExist === undefined
      ? undefined
      : conditional(request.ifNoneExist, conditionAt, faults)
  faults.push(...profileFaults(resource, resourceAt))
  return [{ at, resourceAt, conditionAt, fullUrl, resource, ifNoneExist }]
}

/** `identifier=system|value`, the one condition of a conditional create that is taken. */
function conditional(
  query: string,
  expression: string,
  faults: Fault[],
): IdentifierCriterion | undefined {
  const criterion = identifierCriterion(query)
  if (criterion === undefined)
    faults.push(
      fault(
        expression,
        'entry-condition',
        'A conditional create is made with identifier=system|value.',
        'not-supported',
      ),
    )
  return criterion
}

export function identifierCriterion(query: string): IdentifierCriterion | undefined {
  const pairs = [...new URLSearchParams(query.replace(/^\?/, ''))]
  const [pair] = pairs
  if (pairs.length !== 1 || pair?.[0] !== 'identifier' || pair[1].includes('\0')) return undefined
  const parts = /^([^|,]+)\|([^|,]+)$/.exec(pair[1])
  return parts?.[1] === undefined || parts[2] === undefined
    ? undefined
    : { system: parts[1], value: parts[2] }
}

export const isBundle = (value: unknown): value is Bundle =>
  isObject(value) && value['resourceType'] === 'Bundle'
