import { AppError, type Fault } from '../errors.ts'
import { isIntakeAnswer } from '../fhir/information-answers.ts'
import { FORM_VERSION } from '../fhir/information-form.ts'
import type { QuestionnaireResponse } from '../fhir/r4/types.ts'
import { readResources } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { alteredAnswers } from './answers-from-record.ts'
import { formId } from './information-requests.ts'
import { readEntry } from './referral-record.ts'

/**
 * The intake is open to everybody, and what it took from the record is as it was there. Any other form is
 * answered by the referrer that was asked to fill it, and only what it asks.
 */
export async function refuseUnasked(
  tx: Tx,
  clinicId: string,
  {
    at,
    now,
    child,
  }: {
    /** Where the answer is, for instance `Bundle.entry[3].resource` */
    readonly at: string
    readonly now: QuestionnaireResponse
    readonly child: string
  },
): Promise<void> {
  const altered = await alteredAnswers(tx, clinicId, { response: now, at })
  if (altered.length > 0) throw refused(altered)
  if (isIntakeAnswer(now)) return
  const [patient] = await readResources(tx, clinicId, [{ type: 'Patient', id: child }])
  const [url = '', version = FORM_VERSION] = now.questionnaire?.split('|') ?? []
  const id = formId(clinicId, patient?.partnerId, `${url}|${version}`)
  const [kept] = await readResources(tx, clinicId, [{ type: 'Questionnaire', id }])
  const form = kept === undefined ? undefined : readEntry(kept).resource
  if (form?.resourceType !== 'Questionnaire')
    throw refused([
      fault(`${at}.questionnaire`, 'not-found', 'No such form was sent for this child.'),
    ])
  const asked = new Set(form.item?.map(({ linkId }) => linkId))
  const faults = (now.item ?? []).flatMap(({ linkId }, index) =>
    asked.has(linkId)
      ? []
      : [fault(`${at}.item[${index}].linkId`, 'value', 'This form does not ask for this.')],
  )
  if (faults.length > 0) throw refused(faults)
}

const refused = (faults: readonly Fault[]): AppError =>
  new AppError('invalid-resource', 'The answers cannot be taken.', faults)

const fault = (expression: string, code: string, text: string): Fault => ({
  severity: 'error',
  code,
  expression,
  rule: 'answer-form',
  text,
})
