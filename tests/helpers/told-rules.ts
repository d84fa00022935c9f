import { validateResource } from '../../src/fhir/validate.ts'

/** The rules that a resource breaks, each with the place where it is told. */
export const rulesOf = (resource: unknown): string[] =>
  validateResource(resource).map(({ rule, expression }) => `${rule} at ${expression}`)

/** A valid Patient, and a valid Observation, with more of its own. */
export const patient = <More extends object>(more: More) => ({ resourceType: 'Patient', ...more })
export const observation = <More extends object>(more: More) => ({
  resourceType: 'Observation',
  status: 'final',
  code: { text: 'arch height' },
  ...more,
})
