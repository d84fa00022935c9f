import type { CivilDate } from '../domain/calendar.ts'
import { fittingPlan } from '../domain/plan/fitting.ts'
import { planBundle } from '../fhir/plan-bundle.ts'
import type { Caller } from '../security/access-token.ts'
import { basisOf } from './basis.ts'
import type { Context } from './context.ts'
import { compute, currentDay } from './referral-record.ts'
import { recordOf } from './triage.ts'
import { unitOfWork } from './unit-of-work.ts'

/** The fitting plan of a suitable child, as a proposal. Nothing is stored. */
export function proposePlan(
  context: Context,
  caller: Caller,
  { referralId, asOf }: { readonly referralId: string; readonly asOf: CivilDate | undefined },
): Promise<string> {
  const needs = [
    { type: 'ServiceRequest', letter: 'r' },
    { type: 'CarePlan', letter: 'r' },
  ] as const
  return unitOfWork(context, caller, needs, async (tx) => {
    const record = await recordOf(tx, context, caller, referralId)
    const basis = await basisOf(tx, context, caller)
    const day = asOf ?? currentDay(context, record)
    const { triage, derived } = compute(context, record, day, basis)
    return planBundle(fittingPlan(triage, basis.rules), triage, derived)
  })
}
