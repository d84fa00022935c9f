import type { Language } from '../domain/messages/catalogues.ts'
import { AppError } from '../errors.ts'
import { aboutPatient } from '../fhir/about-patient-parameters.ts'
import { appliedPlan } from '../fhir/applied-plan.ts'
import { REFERRAL_PLAN } from '../fhir/conformance/referral-plan.ts'
import { writeJson } from '../fhir/decimal.ts'
import type { Caller } from '../security/access-token.ts'
import { basisOf } from './basis.ts'
import { childInSight } from './child-in-sight.ts'
import { type Context, softwareOf } from './context.ts'
import { unreferredTriage } from './unreferred-triage.ts'
import { reading } from './unit-of-work.ts'

/** What is known about a child is read for it. */
export const RECORD_NEEDS = [
  { type: 'Patient', letter: 'r' },
  { type: 'Observation', letter: 'r' },
  { type: 'Condition', letter: 'r' },
] as const

interface Asked {
  readonly planId: string
  readonly parameters: readonly (readonly [string, string])[]
  readonly language: Language
}

/** PlanDefinition/$apply of R4, over what the caller sees of the child's record. Nothing is stored. */
export async function applyPlan(
  context: Context,
  caller: Caller,
  { planId, parameters, language }: Asked,
): Promise<string> {
  if (planId !== REFERRAL_PLAN) throw new AppError('not-found', 'There is no such PlanDefinition.')
  const { patientId, practitioner } = aboutPatient(parameters)
  const { child, basis } = await reading(context, caller, RECORD_NEEDS, async (tx) => ({
    child: await childInSight(tx, caller, patientId),
    basis: await basisOf(tx, context, caller, { language }),
  }))
  const { version } = softwareOf(context)
  return writeJson(
    appliedPlan({
      triage: unreferredTriage(context, basis, child),
      speaker: basis.speaker,
      patientId,
      requester: practitioner,
      version,
    }),
  )
}
