import { numberOf } from './decimal.ts'
import { chosen, every, has, inOrder, type Invariant, invariant } from './invariant.ts'
import type { CodeableConcept, Coding, Observation, Quantity } from './r4/types.ts'

const UCUM = 'http://unitsofmeasure.org'
const CLINICAL = 'http://terminology.hl7.org/CodeSystem/condition-clinical'
const VERIFICATION = 'http://terminology.hl7.org/CodeSystem/condition-ver-status'
const ABATED = ['resolved', 'remission', 'inactive']

function hasCode(concept: CodeableConcept | undefined, system: string, codes: readonly string[]) {
  return !every(
    concept?.coding,
    (coding) => coding.system !== system || !codes.includes(coding.code ?? ''),
  )
}

const sameCoding = (one: Coding, other: Coding) =>
  one.system === other.system &&
  one.version === other.version &&
  one.code === other.code &&
  one.display === other.display

function repeatsCode({ code, component }: Observation): boolean {
  return !every(component, (part) =>
    every(part.code?.coding, (coding) => every(code?.coding, (mine) => !sameCoding(mine, coding))),
  )
}

const ENDS = ['low', 'high'] as const
const isPercentage = (quantity: Quantity | undefined) =>
  quantity === undefined || (quantity.code === '%' && quantity.system === UCUM)

export const CLINICAL_INVARIANTS: readonly Invariant[] = [
  invariant(
    'Observation',
    ['obs-6', 'dataAbsentReason is only for an observation without value'],
    (observation) => observation.dataAbsentReason === undefined || !chosen(observation, 'value'),
  ),
  invariant(
    'Observation',
    ['obs-7', 'A component must not repeat the code of an observation that has a value'],
    (observation) => !chosen(observation, 'value') || !repeatsCode(observation),
  ),
  invariant(
    'Observation.referenceRange',
    ['obs-3', 'A reference range needs low, high or text'],
    (range) => range.low !== undefined || range.high !== undefined || has(range, 'text'),
  ),
  invariant(
    'Condition.stage',
    ['con-1', 'A stage needs a summary or an assessment'],
    ({ summary, assessment }) => summary !== undefined || assessment !== undefined,
  ),
  invariant(
    'Condition.evidence',
    ['con-2', 'Evidence needs a code or details'],
    ({ code, detail }) => code !== undefined || detail !== undefined,
  ),
  invariant(
    'Condition',
    ['con-4', 'An abated condition must be inactive, resolved or in remission'],
    (condition) =>
      !chosen(condition, 'abatement') || hasCode(condition.clinicalStatus, CLINICAL, ABATED),
  ),
  invariant(
    'Condition',
    ['con-5', 'A condition entered in error has no clinicalStatus'],
    ({ verificationStatus, clinicalStatus }) =>
      clinicalStatus === undefined ||
      !hasCode(verificationStatus, VERIFICATION, ['entered-in-error']),
  ),
  invariant(
    'CarePlan.activity',
    ['cpl-3', 'An activity has a reference or a detail, not both'],
    ({ reference, detail }) => reference === undefined || detail === undefined,
  ),
  invariant(
    'Goal.target',
    ['gol-1', 'A target with a detail needs a measure'],
    (target) => target.measure !== undefined || !chosen(target, 'detail'),
  ),
  invariant(
    'RiskAssessment.prediction',
    ['ras-1', 'low and high of a probability must be percentages'],
    ({ probabilityRange: range }) => every(ENDS, (end) => isPercentage(range?.[end])),
  ),
  invariant(
    'RiskAssessment.prediction',
    ['ras-2', 'A probability must be at most 100'],
    ({ probabilityDecimal: value }) => value === undefined || numberOf(value) <= 100,
  ),
  invariant(
    'ServiceRequest',
    ['prr-1', 'orderDetail needs a code'],
    ({ orderDetail, code }) => orderDetail === undefined || code !== undefined,
  ),
  invariant(
    'Task',
    ['inv-1', 'lastModified must not be before authoredOn'],
    ({ lastModified, authoredOn }) =>
      lastModified === undefined ||
      authoredOn === undefined ||
      inOrder(authoredOn, lastModified) !== false,
  ),
  invariant(
    'Patient.contact',
    ['pat-1', 'A contact needs a name, telecom, address or organization'],
    ({ name, telecom, address, organization }) =>
      [name, telecom, address, organization].some((part) => part !== undefined),
  ),
  invariant(
    'Organization',
    ['org-1', 'An organization needs a name or an identifier'],
    (organization) => organization.identifier !== undefined || has(organization, 'name'),
  ),
  invariant(
    'Organization',
    ['org-2', 'The address of an organization is never of use home'],
    ({ address }) => every(address, ({ use }) => use !== 'home'),
  ),
  invariant(
    'Organization',
    ['org-3', 'The telecom of an organization is never of use home'],
    ({ telecom }) => every(telecom, ({ use }) => use !== 'home'),
  ),
  invariant(
    'Consent',
    ['ppc-1', 'A consent needs a policy or a policyRule'],
    ({ policy, policyRule }) => policy !== undefined || policyRule !== undefined,
  ),
  invariant(
    'AuditEvent.entity',
    ['sev-1', 'An entity has a name or a query, not both'],
    (entity) => !has(entity, 'name') || !has(entity, 'query'),
  ),
  invariant(
    'Parameters.parameter',
    ['inv-1', 'A parameter has exactly one of value, resource and part'],
    (parameter) =>
      [
        parameter.part !== undefined,
        parameter.resource !== undefined,
        chosen(parameter, 'value'),
      ].filter(Boolean).length === 1,
  ),
]
