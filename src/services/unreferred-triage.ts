import { type Triage, triage } from '../domain/triage.ts'
import type { Patient } from '../fhir/r4/types.ts'
import type { RecordEntry } from '../fhir/record-facts.ts'
import { isInput, toChild } from '../fhir/to-domain.ts'
import type { Basis } from './basis.ts'
import type { Context } from './context.ts'
import { today } from './day.ts'
import { currentDay, plausibly } from './referral-record.ts'

/** A child that nobody has referred yet, with what is to be known of it. */
export interface Unreferred {
  readonly patientId: string
  readonly patient: Patient
  readonly record: readonly RecordEntry[]
}

/** The same computation as that of a referral, as of today; nobody has waited. */
export function unreferredTriage(
  context: Context,
  { rules, chart }: Pick<Basis, 'rules' | 'chart'>,
  { patientId, patient, record }: Unreferred,
): Triage {
  // In one order, whatever order it came in: the answer must be the same.
  const inputs = record
    .filter(({ resource }) => isInput(resource))
    .toSorted((one, other) => (one.reference < other.reference ? -1 : 1))
  const asOf = currentDay(context, { entries: inputs })
  const subject = { reference: `Patient/${patientId}`, resource: patient }
  const child = toChild(inputs, subject, { receivedOn: today(context), asOf })
  return plausibly(() => triage(child, asOf, { rules, chart }))
}
