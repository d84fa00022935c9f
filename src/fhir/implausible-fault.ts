import type { ImplausibleElement, ImplausibleRecord } from '../domain/implausible.ts'
import type { Fault } from '../errors.ts'

/** Where the sender finds what the domain could not believe. */
const EXPRESSIONS: Readonly<Record<ImplausibleElement, string>> = {
  birthDate: 'Patient.birthDate',
  gestation: 'Observation.value',
  asOf: 'http.asOf',
  milestoneChecks: 'Observation.effective',
  skillChecks: 'Observation.effective',
}

export const implausibleFault = (error: ImplausibleRecord): Fault => ({
  severity: 'error',
  code: 'business-rule',
  expression: EXPRESSIONS[error.element],
  rule: `implausible.${error.element}`,
  text: error.message,
})
