import type { CivilDate } from '../domain/calendar.ts'
import { type UrgentFinding, urgentFindings } from '../domain/follow-up/urgent-findings.ts'
import type { RuleSet } from '../domain/rules/rule-set.ts'
import type { DerivedContext } from '../fhir/derived.ts'
import { isFitCheck } from '../fhir/fit-check-answers.ts'
import type { Resource } from '../fhir/r4/types.ts'
import { kindsOf } from '../fhir/to-domain.ts'
import type { Basis } from './basis.ts'
import type { Context } from './context.ts'
import { namedEvidence } from './named-evidence.ts'
import type { ReferralRecord } from './referral-record.ts'
import { stableId } from './stable-id.ts'
import { type WornFollowUp, wornFollowUp } from './worn-follow-up.ts'

/** A visit of a child with its devices, as the record shows it on a day. */
export interface EvaluatedVisit extends WornFollowUp {
  readonly rules: RuleSet
  readonly urgent: readonly UrgentFinding[]
  /** Its ids are of this visit: another answer or sign, other ids. */
  readonly derived: DerivedContext
}

/** How a child is doing with the devices that it wears on a day; undefined when it wears none. */
export function evaluatedVisit(
  context: Context,
  record: ReferralRecord,
  day: CivilDate,
  basis: Basis,
): EvaluatedVisit | undefined {
  const followed = wornFollowUp(context, record, day, basis)
  if (followed === undefined) return undefined
  const { worn, fitCheck, fitCheckOn, derived } = followed
  const { deliveredOn, devices } = worn
  const { rules } = basis
  const visit = { deliveredOn, asOf: day, devices, fitCheck }
  return {
    ...followed,
    rules,
    urgent: urgentFindings({ ...visit, ...(fitCheckOn && { fitCheckOn }) }, rules),
    derived: ofVisit(derived, record),
  }
}

/** Read at a visit and not by a triage. */
export const isOfVisit = (resource: Resource): boolean => {
  switch (resource.resourceType) {
    case 'QuestionnaireResponse':
      return isFitCheck(resource)
    case 'DeviceUseStatement':
    case 'Device':
      return true
    case 'Observation':
      return kindsOf(resource).some((kind) => kind.ofVisit === true)
    default:
      return false
  }
}

function ofVisit(derived: DerivedContext, record: ReferralRecord): DerivedContext {
  const read = record.entries
    .filter(({ resource }) => isOfVisit(resource))
    .map(({ reference }) => reference)
    .toSorted()
  const seed = [derived.idOf('visit'), ...read].join('\n')
  const named = namedEvidence(record, read)
  return {
    ...derived,
    idOf: (role) => stableId(`${seed}\n${role}`),
    inputs: [...derived.inputs, ...named.inputs],
    unnamed: [...(derived.unnamed ?? []), ...named.unnamed],
  }
}
