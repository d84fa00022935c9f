import { askedWrongly } from '../errors.ts'
import { ANSWER_FORM, type AskedParameter, namesOf, TEXT } from './asked-parameter.ts'
import { parameterFault, untakenFaults } from './query-values.ts'

/** What an operation about a Patient is asked. */
export interface AboutPatient {
  readonly patientId: string
  /** `Practitioner/1`, or with a role. */
  readonly practitioner: string | undefined
}

export const SUBJECT: AskedParameter = {
  name: 'subject',
  description: 'The child, Patient/[id].',
  value: TEXT,
  required: true,
}
export const APPLY_PARAMETERS: readonly AskedParameter[] = [
  SUBJECT,
  {
    name: 'practitioner',
    description: 'Who refers: Practitioner/[id] or PractitionerRole/[id].',
    value: TEXT,
  },
]
const KNOWN = namesOf([...APPLY_PARAMETERS, ...ANSWER_FORM])

/** The `subject`, one Patient, and where it is known a practitioner. Throws AppError with every fault. */
export function aboutPatient(parameters: readonly (readonly [string, string])[]): AboutPatient {
  const faults = untakenFaults(parameters, KNOWN)
  const subjects = parameters.filter(([name]) => name === 'subject')
  const [, patientId] = /^Patient\/([A-Za-z0-9\-.]{1,64})$/.exec(subjects[0]?.[1] ?? '') ?? []
  if (patientId === undefined || subjects.length > 1)
    faults.push(parameterFault('subject', 'required', 'One Patient is needed, Patient/[id].'))
  const practitioner = parameters.find(([name]) => name === 'practitioner')?.[1]
  if (
    practitioner !== undefined &&
    !/^Practitioner(?:Role)?\/[A-Za-z0-9\-.]{1,64}$/.test(practitioner)
  )
    faults.push(parameterFault('practitioner', 'value', 'Practitioner/[id] is needed.'))
  if (faults.length > 0 || patientId === undefined) throw askedWrongly(faults)
  return { patientId, practitioner }
}
