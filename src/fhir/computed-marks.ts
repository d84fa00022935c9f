import type { Fault } from '../errors.ts'
import { EXCHANGE_CODES } from './codes.ts'
import { isComputed, profileFault } from './observation-profile.ts'
import type { Provenance, Resource, RiskAssessment } from './r4/types.ts'
import { hasCode } from './reading.ts'

/** What the service foretells itself. */
const FORETOLD = [
  EXCHANGE_CODES.walkingAloneBy18Months,
  EXCHANGE_CODES.delay25,
  EXCHANGE_CODES.delay33,
  EXCHANGE_CODES.delay50,
]

/**
 * A risk of one's own and the origin of one's own data are sent like any other resource; what would be read
 * as the computation of this service is not.
 */
export const computedMarkFaults = (resource: RiskAssessment | Provenance, at: string): Fault[] =>
  resource.resourceType === 'RiskAssessment'
    ? (resource.prediction ?? []).flatMap(({ outcome }, index) =>
        FORETOLD.some((code) => hasCode(outcome, code))
          ? [markFault(`${at}.prediction[${index}].outcome`, 'risk-computed', 'prediction')]
          : [],
      )
    : hasCode(resource.activity, EXCHANGE_CODES.triageResult)
      ? [markFault(`${at}.activity`, 'provenance-computed', 'activity')]
      : []

/** Is it one of our results, or does it say so? */
export const bearsOurMark = (resource: Resource): boolean =>
  resource.resourceType === 'Observation'
    ? isComputed(resource)
    : (resource.resourceType === 'RiskAssessment' || resource.resourceType === 'Provenance') &&
      computedMarkFaults(resource, '').length > 0

const markFault = (expression: string, rule: string, what: string): Fault =>
  profileFault(
    expression,
    rule,
    `This ${what} is one of the service's own and cannot be sent: use a code of another system.`,
    'code-invalid',
  )
