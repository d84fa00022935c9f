import type { Fault } from '../errors.ts'
import { EXCHANGE_CODES, SIDE_CODES, SYSTEMS } from './codes.ts'
import { FINDING_CODES } from './finding-codes.ts'
import { kindOf } from './observation-kinds.ts'
import type { Observation, Patient, Resource, ServiceRequest, Task } from './r4/types.ts'
import { hasCode } from './reading.ts'

/** Codes of ours that only the service itself writes. */
const COMPUTED = new Set(Object.values(FINDING_CODES).map((code) => code.code))

/**
 * What we ask of a resource beyond R4: codes, units, sides, ranges.
 *
 * @param at where the resource is, for instance `Bundle.entry[3].resource`
 */
export function profileFaults(resource: Resource, at: string): Fault[] {
  switch (resource.resourceType) {
    case 'Patient':
      return patientFaults(resource, at)
    case 'Observation':
      return observationFaults(resource, at)
    case 'ServiceRequest':
      return isReferral(resource) ? referralFaults(resource, at) : []
    case 'Task':
      return hasCode(resource.code, EXCHANGE_CODES.referral) ? taskFaults(resource, at) : []
    default:
      return []
  }
}

export const isReferral = (request: ServiceRequest): boolean =>
  hasCode(request.code, EXCHANGE_CODES.referral)

const fault = (expression: string, rule: string, text: string, code = 'business-rule'): Fault => ({
  severity: 'error',
  code,
  expression,
  rule,
  text,
})

function patientFaults(patient: Patient, at: string): Fault[] {
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
  return faults
}

function referralFaults(request: ServiceRequest, at: string): Fault[] {
  const faults: Fault[] = []
  if (request.status !== 'active')
    faults.push(fault(`${at}.status`, 'referral-status', 'A referral is sent as active.'))
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
  if (task.status !== 'requested')
    faults.push(fault(`${at}.status`, 'task-status', 'The Task of a new referral is requested.'))
  return faults
}

function observationFaults(observation: Observation, at: string): Fault[] {
  const ours = observation.code.coding?.find(({ system }) => system === SYSTEMS.observation)
  const known = observation.code.coding?.flatMap((coding) => kindOf(coding) ?? [])[0]
  if (known === undefined) {
    if (ours === undefined) return []
    const computed = COMPUTED.has(ours.code ?? '')
    return [
      fault(
        `${at}.code`,
        computed ? 'observation-computed' : 'observation-code',
        computed
          ? 'This finding is computed here and cannot be sent.'
          : `This is no code of ${SYSTEMS.observation}.`,
        'code-invalid',
      ),
    ]
  }
  const faults: Fault[] = []
  if (observation.subject?.reference === undefined)
    faults.push(
      fault(
        `${at}.subject`,
        'observation-subject',
        'A reference to the Patient is needed.',
        'required',
      ),
    )
  if (!/^\d{4}-\d{2}-\d{2}/.test(observation.effectiveDateTime ?? ''))
    faults.push(
      fault(
        `${at}.effectiveDateTime`,
        'observation-date',
        'The day of the observation is needed, with year, month and day.',
        'required',
      ),
    )
  if (known.ofFoot && !Object.values(SIDE_CODES).some((s) => hasCode(observation.bodySite, s)))
    faults.push(
      fault(
        `${at}.bodySite`,
        'observation-side',
        `left-foot or right-foot of ${SYSTEMS.side} is needed.`,
        'required',
      ),
    )
  if (observation.dataAbsentReason !== undefined) return faults
  const reading = known.read(observation)
  if (!reading.ok)
    faults.push(
      fault(
        `${at}.${reading.at}`,
        `observation-value.${known.code.code}`,
        capital(reading.text),
        'value',
      ),
    )
  return faults
}

const capital = (text: string): string => `${text.slice(0, 1).toUpperCase()}${text.slice(1)}.`
