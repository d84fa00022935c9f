import { AppError } from '../errors.ts'
import { aboutPatient } from '../fhir/about-patient-parameters.ts'
import { INTAKE_FORM } from '../fhir/conformance/referral-plan.ts'
import { writeJson } from '../fhir/decimal.ts'
import { intakeResponse } from '../fhir/intake-response.ts'
import type { Caller } from '../security/access-token.ts'
import { RECORD_NEEDS } from './apply-plan.ts'
import { childInSight } from './child-in-sight.ts'
import { type Context, softwareOf } from './context.ts'
import { reading } from './unit-of-work.ts'

const NEEDS = [
  ...RECORD_NEEDS,
  { type: 'RelatedPerson', letter: 'r' },
  { type: 'Consent', letter: 'r' },
  { type: 'Coverage', letter: 'r' },
] as const

/** Questionnaire/$populate of Structured Data Capture, over what the caller sees. Nothing is stored. */
export async function populateIntake(
  context: Context,
  caller: Caller,
  {
    formId,
    parameters,
  }: { readonly formId: string; readonly parameters: readonly (readonly [string, string])[] },
): Promise<string> {
  if (formId !== INTAKE_FORM)
    throw new AppError('not-found', 'There is no Questionnaire here that is populated so.')
  const { patientId } = aboutPatient(parameters, ['subject'])
  const { record } = await reading(context, caller, NEEDS, (tx) =>
    childInSight(tx, caller, patientId),
  )
  const { version } = softwareOf(context)
  const authored = context.now().toISOString()
  return writeJson(intakeResponse(record, { patientId, version, authored }))
}
