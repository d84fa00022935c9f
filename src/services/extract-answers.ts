import { AppError } from '../errors.ts'
import { writeJson } from '../fhir/decimal.ts'
import { type ExtractedFact, extractedBundle } from '../fhir/extracted-bundle.ts'
import { isAnswered, isInformationAnswer } from '../fhir/information-answers.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import { profileFault } from '../fhir/observation-profile.ts'
import type { QuestionnaireResponse } from '../fhir/r4/types.ts'
import type { Caller } from '../security/access-token.ts'
import { readResource } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { answeredBefore, answeredFacts } from './answered-facts.ts'
import { refuseUnasked } from './asked-answers.ts'
import { checkedResource } from './checked-resource.ts'
import type { Context } from './context.ts'
import { latestDay } from './day.ts'
import { readEntry } from './referral-record.ts'
import { readIn } from './resources.ts'
import { reading } from './unit-of-work.ts'

const AT = 'QuestionnaireResponse'
const NEEDS = [
  { type: AT, letter: 'r' },
  { type: 'Patient', letter: 'r' },
  { type: 'Observation', letter: 'r' },
] as const

/**
 * QuestionnaireResponse/$extract of Structured Data Capture: what answers become when they come in, by the code
 * that does it then. Nothing is stored.
 *
 * @returns a transaction Bundle as JSON; each entry creates an observation where it is not there yet
 */
export async function extractKept(context: Context, caller: Caller, id: string): Promise<string> {
  const facts = await reading(context, caller, NEEDS, (tx) => factsOfKept(tx, context, caller, id))
  return bundleOf(context, facts)
}

/** The same of answers that are sent along, and checked as if they came in. */
export async function extractSent(
  context: Context,
  caller: Caller,
  body: unknown,
): Promise<string> {
  const response = checkedResource(AT, body, latestDay(context))
  if (response.resourceType !== AT) throw new Error('Another type was taken for a response')
  const facts = await reading(context, caller, NEEDS, (tx) =>
    factsOfSent(tx, context, caller, response),
  )
  return bundleOf(context, facts)
}

const bundleOf = ({ now }: Context, facts: readonly ExtractedFact[]): string =>
  writeJson(extractedBundle(facts, now().toISOString()))

async function factsOfKept(
  tx: Tx,
  context: Context,
  caller: Caller,
  id: string,
): Promise<ExtractedFact[]> {
  await readIn(tx, context, caller, { type: AT, id })
  const stored = await readResource(tx, { clinicId: caller.clinicId, type: AT, id })
  if (stored === undefined) throw new AppError('not-found', `There is no such ${AT}.`)
  const { resource: response } = readEntry(stored)
  if (response.resourceType !== AT) throw new Error('A kept response is of another type')
  refuseUnextracted(response)
  const { partnerId, patientId: child } = stored
  if (child === undefined) return []
  const kept = await answeredBefore(tx, caller.clinicId, { child, own: `${AT}/${id}` })
  return answeredFacts(context, caller.clinicId, { response, at: AT, partnerId, child, kept })
}

async function factsOfSent(
  tx: Tx,
  context: Context,
  caller: Caller,
  response: QuestionnaireResponse,
): Promise<ExtractedFact[]> {
  refuseUnextracted(response)
  const { clinicId, partnerId } = caller
  const subject = ownTarget(response.subject?.reference, context.baseUrl)
  if (subject?.type !== 'Patient')
    throw refused('subject.reference', 'The Patient is one that is kept here.')
  await readIn(tx, context, caller, subject)
  const child = subject.id
  await refuseUnasked(tx, clinicId, { at: AT, now: response, child })
  return answeredFacts(context, clinicId, { response, at: AT, partnerId, child, kept: [] })
}

/** What becomes no observations is told so: an empty answer would say that nothing was answered. */
function refuseUnextracted(response: QuestionnaireResponse): void {
  if (!isInformationAnswer(response))
    throw refused(
      'questionnaire',
      'Extracted are answers to the form referral-intake and to those that ask for information.',
    )
  if (!isAnswered(response))
    throw refused('status', 'Answers are extracted when they are completed or amended.')
}

const refused = (element: string, text: string): AppError =>
  new AppError('invalid-resource', 'Nothing can be extracted.', [
    profileFault(`${AT}.${element}`, 'answer-extract', text, 'business-rule'),
  ])
