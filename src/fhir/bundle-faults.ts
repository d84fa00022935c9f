import type { CivilDate } from '../domain/calendar.ts'
import type { Fault } from '../errors.ts'
import { isObject } from './element.ts'
import { profileFaults } from './profiles.ts'
import type { Bundle, Resource } from './r4/types.ts'
import { isTyped } from './validate.ts'

/** The most entries one Bundle may have. */
export const MAX_ENTRIES = 500

export const isBundle = (value: unknown): value is Bundle =>
  isObject(value) && value['resourceType'] === 'Bundle'

export const bundleFault = (
  expression: string,
  rule: string,
  text: string,
  code = 'invalid',
): Fault => ({ severity: 'error', code, expression, rule, text })

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
