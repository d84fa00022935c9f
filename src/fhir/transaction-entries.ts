import type { CivilDate } from '../domain/calendar.ts'
import type { Fault } from '../errors.ts'
import { isObject } from './element.ts'
import { isReferral, profileFaults } from './profiles.ts'
import type { Bundle, Resource } from './r4/types.ts'
import { rowOf } from './registry.ts'
import { sizeChartEntryFaults } from './size-chart-entries.ts'
import { isTyped } from './validate.ts'

/** The most entries one transaction may have. */
export const MAX_ENTRIES = 500

/** The most referrals: each is computed before the transaction ends. */
export const MAX_REFERRALS = 10

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
export function transactionEntries(
  bundle: Bundle,
  latestDay: CivilDate,
): {
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
  const entries = sent.flatMap((entry, index) => {
    const at = `Bundle.entry[${index}]`
    const found = entryOf(entry, at, faults)
    for (const { resource, resourceAt } of found)
      faults.push(...profileFaults(resource, resourceAt, latestDay))
    return found
  })
  const referrals = entries.filter(
    ({ resource }) => resource.resourceType === 'ServiceRequest' && isReferral(resource),
  )
  if (referrals.length > MAX_REFERRALS)
    faults.push(
      fault(
        'Bundle.entry',
        'bundle-referrals',
        `At most ${MAX_REFERRALS} referrals are taken at once: each is computed.`,
        'too-costly',
      ),
    )
  faults.push(...sizeChartEntryFaults(entries))
  return { entries, faults }
}

/**
 * What our profiles find in the entries of a Bundle that is broken elsewhere, so that a sender learns
 * everything at once.
 *
 * @param structure the faults that R4 itself finds
 */
export function profileFaultsBeside(
  structure: readonly Fault[],
  body: unknown,
  latestDay: CivilDate,
): Fault[] {
  const sent = isObject(body) && Array.isArray(body['entry']) ? (body['entry'] as unknown[]) : []
  return sent.slice(0, MAX_ENTRIES).flatMap((entry, index) => {
    const at = `Bundle.entry[${index}]`
    const broken = structure.some(
      ({ expression }) => expression === at || expression.startsWith(`${at}.`),
    )
    const resource = isObject(entry) ? entry['resource'] : undefined
    return broken || !isWhole(resource) ? [] : profileFaults(resource, `${at}.resource`, latestDay)
  })
}

const isWhole = (resource: unknown): resource is Resource =>
  isObject(resource) &&
  typeof resource['resourceType'] === 'string' &&
  isTyped({ resourceType: resource['resourceType'] })

type Sent = NonNullable<Bundle['entry']>[number]

function entryOf(entry: Sent, at: string, faults: Fault[]): CreateEntry[] {
  const { request, resource, fullUrl } = entry
  if (request === undefined) return []
  if (request.method !== 'POST') {
    const text = 'Only POST is taken in a transaction.'
    faults.push(fault(`${at}.request.method`, 'entry-method', text, 'not-supported'))
    return []
  }
  if (
    resource === undefined ||
    !isTyped(resource) ||
    rowOf(resource.resourceType)?.interactions.includes('create') !== true
  ) {
    const text = 'A POST needs a resource of a type that is taken here.'
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
