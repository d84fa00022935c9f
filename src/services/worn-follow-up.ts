import type { CivilDate } from '../domain/calendar.ts'
import type { FitCheckResult } from '../domain/follow-up/fit-check-result.ts'
import { type FollowUpResult, followUp } from '../domain/follow-up/follow-up.ts'
import type { Triage } from '../domain/triage.ts'
import type { DerivedContext } from '../fhir/derived.ts'
import { type WornDevices, wornDevices } from '../fhir/worn-devices.ts'
import { answeredFitCheck } from './answered-fit-check.ts'
import type { Basis } from './basis.ts'
import type { Context } from './context.ts'
import { compute, type ReferralRecord } from './referral-record.ts'

/** A child with the devices that it wears, as the record shows both on a day. */
export interface WornFollowUp {
  readonly triage: Triage
  readonly derived: DerivedContext
  readonly worn: WornDevices
  readonly fitCheck: FitCheckResult | 'unknown'
  /** The day on which the last fit check was answered. */
  readonly fitCheckOn: CivilDate | undefined
  readonly found: FollowUpResult
}

/** How a child is doing with the devices that it wears on a day; undefined when it wears none. */
export function wornFollowUp(
  context: Context,
  record: ReferralRecord,
  day: CivilDate,
  basis: Basis,
): WornFollowUp | undefined {
  const { baseUrl } = context
  const worn = wornDevices(record.entries, { asOf: day, chart: basis.chart, baseUrl })
  if (worn === undefined) return undefined
  const { triage, derived } = compute(context, record, day, basis)
  const answered = answeredFitCheck(record, { day, ...worn }, basis)
  const fitCheck = answered?.result ?? 'unknown'
  const found = followUp({ ...triage, ...worn, fitCheck }, basis)
  return { triage, derived, worn, fitCheck, fitCheckOn: answered?.on, found }
}
