import { AppError, type Fault } from '../errors.ts'
import { INTAKE_FORM } from '../fhir/conformance/referral-plan.ts'
import { writeJson } from '../fhir/decimal.ts'
import { intakeResponse } from '../fhir/intake-response.ts'
import { issueOf } from '../fhir/outcome.ts'
import { unused } from '../fhir/populate-context.ts'
import { formAsked, type PopulateRequest, populateParameters } from '../fhir/populate-parameters.ts'
import type { RecordEntry } from '../fhir/record-facts.ts'
import type { Caller } from '../security/access-token.ts'
import { readResources } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { RECORD_NEEDS } from './apply-plan.ts'
import { childInSight } from './child-in-sight.ts'
import { type Context, softwareOf } from './context.ts'
import { readEntry } from './referral-record.ts'
import { reading } from './unit-of-work.ts'

const NEEDS = [
  ...RECORD_NEEDS,
  { type: 'RelatedPerson', letter: 'r' },
  { type: 'Consent', letter: 'r' },
  { type: 'Coverage', letter: 'r' },
] as const
const USER = { type: 'Practitioner', letter: 'r' } as const

interface Asked {
  /** Of the address; undefined where the form is named by a parameter. */
  readonly formId: string | undefined
  /** Of address and body, as names and values. */
  readonly pairs: readonly (readonly [name: string, value: string])[]
  readonly body: unknown
}

/**
 * Questionnaire/$populate of Structured Data Capture, over what the caller sees. Nothing is stored.
 *
 * @returns Parameters as JSON: the response, and issues where something that was sent is not used
 */
export async function populateIntake(
  context: Context,
  caller: Caller,
  { formId, ...sent }: Asked,
): Promise<string> {
  const { baseUrl } = context
  const { version } = softwareOf(context)
  if ((formId ?? formAsked({ ...sent, baseUrl }, version)) !== INTAKE_FORM)
    throw new AppError('not-found', 'There is no Questionnaire here that is populated so.')
  const asked = populateParameters({ ...sent, baseUrl })
  const { patientId, userId } = asked
  const needs = userId === undefined ? NEEDS : [...NEEDS, USER]
  const { record, issues } = await reading(context, caller, needs, (tx) =>
    sourcesIn(tx, caller, asked),
  )
  const authored = context.now().toISOString()
  return writeJson({
    resourceType: 'Parameters',
    parameter: [
      { name: 'response', resource: intakeResponse(record, { patientId, version, authored }) },
      ...(issues.length === 0
        ? []
        : [
            {
              name: 'issues',
              resource: { resourceType: 'OperationOutcome', issue: issues.map(issueOf) },
            },
          ]),
    ],
  })
}

/** What may be filled in from, and what of that which was sent is not. */
async function sourcesIn(
  tx: Tx,
  caller: Caller,
  { patientId, userId, from, unused: left }: PopulateRequest,
): Promise<{ readonly record: readonly RecordEntry[]; readonly issues: readonly Fault[] }> {
  const { record, patient } = await childInSight(tx, caller, patientId)
  const known = {
    record,
    patient: record.filter(({ resource }) => resource === patient),
    nothing: [],
  }[from]
  if (userId === undefined) return { record: known, issues: left }
  const keys = [{ type: USER.type, id: userId }]
  const [user] = (await readResources(tx, caller.clinicId, keys)).filter(({ deleted }) => !deleted)
  if (user === undefined) {
    const place = "Parameters.parameter.where(name='context')"
    return { record: known, issues: [...left, unused(place, 'There is no such user here.')] }
  }
  caller.call.touch({ type: USER.type, id: userId, did: 'read' })
  return { record: [...known, readEntry(user)], issues: left }
}
