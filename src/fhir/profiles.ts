import type { CivilDate } from '../domain/calendar.ts'
import { REFERRAL_STATES } from '../domain/referral/referral-states.ts'
import { REFERRAL_STEPS } from '../domain/referral/referral-steps.ts'
import { isTaskStatus } from '../domain/referral/transition.ts'
import type { Fault } from '../errors.ts'
import { claimFaults } from './claimed-profiles.ts'
import { EXCHANGE_CODES, SIDE_CODES, SYSTEMS } from './codes.ts'
import { computedMarkFaults } from './computed-marks.ts'
import { fitCheckFaults, isFitCheck } from './fit-check-answers.ts'
import { informationAnswers, isInformationAnswer } from './information-answers.ts'
import { observationFaults, profileFault as fault } from './observation-profile.ts'
import type { DeviceUseStatement, Patient, Resource, ServiceRequest, Task } from './r4/types.ts'
import { hasCode } from './reading.ts'
import { ruleSetFaults } from './rule-set-library.ts'
import { subscriptionFaults } from './subscription-profile.ts'

/**
 * What we ask of a resource beyond R4: codes, units, sides, ranges, and that it is what it says it is.
 *
 * @param at        where the resource is, for instance `Bundle.entry[3].resource`
 * @param latestDay the latest day that it is anywhere on earth: nothing is observed after it
 */
export function profileFaults(resource: Resource, at: string, latestDay: CivilDate): Fault[] {
  const faults = faultsOfType(resource, at, latestDay)
  return [...faults, ...claimFaults(resource, at, faults)]
}

function faultsOfType(resource: Resource, at: string, latestDay: CivilDate): Fault[] {
  switch (resource.resourceType) {
    case 'Patient':
      return patientFaults(resource, at, latestDay)
    case 'Observation':
      return observationFaults(resource, at, latestDay)
    case 'ServiceRequest':
      return isReferral(resource) ? referralFaults(resource, at) : []
    case 'Task':
      return hasCode(resource.code, EXCHANGE_CODES.referral) ? taskFaults(resource, at) : []
    case 'QuestionnaireResponse':
      if (isInformationAnswer(resource))
        return [...informationAnswers(resource, at, latestDay).faults]
      return isFitCheck(resource) ? fitCheckFaults(resource, at) : []
    case 'Library':
      return ruleSetFaults(resource, at)
    case 'Subscription':
      return subscriptionFaults(resource, at)
    case 'DeviceUseStatement':
      return deviceUseFaults(resource, at)
    case 'RiskAssessment':
    case 'Provenance':
      return computedMarkFaults(resource, at)
    default:
      return []
  }
}

export const isReferral = (request: ServiceRequest): boolean =>
  hasCode(request.code, EXCHANGE_CODES.referral)

/** A device that is worn says on which foot, and since which day. */
function deviceUseFaults(use: DeviceUseStatement, at: string): Fault[] {
  const sided = Object.values(SIDE_CODES).filter((side) => hasCode(use.bodySite, side)).length === 1
  const start = use.timingPeriod?.start ?? use.timingDateTime ?? ''
  const sideText = `One of left-foot and right-foot of ${SYSTEMS.side} is needed.`
  const dayText = 'The day of the delivery is needed, with year, month and day.'
  return [
    ...(sided ? [] : [fault(`${at}.bodySite`, 'device-use-side', sideText, 'required')]),
    ...(/^\d{4}-\d{2}-\d{2}/.test(start)
      ? []
      : [fault(`${at}.timingPeriod.start`, 'device-use-date', dayText, 'required')]),
  ]
}

function patientFaults(patient: Patient, at: string, latestDay: CivilDate): Fault[] {
  const faults: Fault[] = []
  const identified = patient.identifier?.some(
    ({ system, value }) => system !== undefined && value !== undefined,
  )
  if (identified !== true)
    faults.push(
      fault(
        `${at}.identifier`,
        'patient-identifier',
        'An identifier with system and value is needed, so that a repeated referral finds the same child.',
        'required',
      ),
    )
  if (patient.birthDate?.length !== 'YYYY-MM-DD'.length)
    faults.push(
      fault(
        `${at}.birthDate`,
        'patient-birth-date',
        'A birth date with year, month and day is needed: every age is counted from it.',
        'required',
      ),
    )
  else if (patient.birthDate > latestDay)
    faults.push(
      fault(`${at}.birthDate`, 'patient-birth-date', 'The birth date lies in the future.', 'value'),
    )
  return faults
}

/** Every status that a referral's ServiceRequest has in some state. */
const REFERRAL_REQUEST_STATUSES: ReadonlySet<string> = new Set(
  REFERRAL_STATES.flatMap((state) => REFERRAL_STEPS[state].request),
)

/** A referral begins as a draft or as sent; what has no status of a referral is told so already. */
export function creationFaults(resource: Resource, at: string): Fault[] {
  const { resourceType } = resource
  if (resourceType === 'ServiceRequest' && isReferral(resource))
    return ['active', 'draft'].includes(resource.status) ||
      !REFERRAL_REQUEST_STATUSES.has(resource.status)
      ? []
      : [fault(`${at}.status`, 'referral-status', 'A new referral is active, or draft.')]
  if (resourceType !== 'Task' || !hasCode(resource.code, EXCHANGE_CODES.referral)) return []
  return ['requested', 'draft'].includes(resource.status) || !isTaskStatus(resource.status)
    ? []
    : [fault(`${at}.status`, 'task-status', 'The Task of a new referral is requested, or draft.')]
}

function referralFaults(request: ServiceRequest, at: string): Fault[] {
  const faults: Fault[] = []
  if (!REFERRAL_REQUEST_STATUSES.has(request.status))
    faults.push(fault(`${at}.status`, 'referral-status', 'A referral has no such status.'))
  if (!['proposal', 'plan', 'order', 'original-order'].includes(request.intent))
    faults.push(
      fault(
        `${at}.intent`,
        'referral-intent',
        'proposal, plan, order or original-order is needed.',
      ),
    )
  if (request.subject.reference === undefined)
    faults.push(
      fault(
        `${at}.subject.reference`,
        'referral-subject',
        'A reference to the Patient is needed.',
        'required',
      ),
    )
  return faults
}

function taskFaults(task: Task, at: string): Fault[] {
  const faults: Fault[] = []
  if (task.focus?.reference === undefined)
    faults.push(
      fault(
        `${at}.focus`,
        'task-focus',
        'The Task of a referral needs the ServiceRequest as its focus.',
        'required',
      ),
    )
  if (task.for?.reference === undefined)
    faults.push(fault(`${at}.for`, 'task-for', 'A reference to the Patient is needed.', 'required'))
  if (!isTaskStatus(task.status))
    faults.push(fault(`${at}.status`, 'task-status', 'The Task of a referral has no such status.'))
  return faults
}
