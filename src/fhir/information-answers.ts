import type { CivilDate } from '../domain/calendar.ts'
import type { Fault } from '../errors.ts'
import { METHOD_CODES, SIDE_CODES, SYSTEMS } from './codes.ts'
import { formUrl, INTAKE_FORM } from './conformance/referral-plan.ts'
import { concept } from './derived.ts'
import { type AnswerReading, answeredValue, type Misanswered } from './information-values.ts'
import { isInformationForm } from './information-form.ts'
import { type FactQuestion, questionOfLink } from './information-questions.ts'
import { FINDINGS_GROUP } from './intake-form.ts'
import { ANSWER_SOURCE } from './intake-response.ts'
import { observationFaults, profileFault } from './observation-profile.ts'
import type { Observation, QuestionnaireResponse, QuestionnaireResponseItem } from './r4/types.ts'

/** An answer as the observation that it is. */
export interface AnsweredFact {
  readonly linkId: string
  readonly observation: Observation
}

export interface ReadAnswers {
  readonly facts: readonly AnsweredFact[]
  readonly faults: readonly Fault[]
}

/** Does it answer one of our forms that ask for facts: a request for information, or the intake? */
export const isInformationAnswer = (response: QuestionnaireResponse): boolean =>
  isInformationForm(response.questionnaire) || isIntakeAnswer(response)

export const isIntakeAnswer = ({ questionnaire }: QuestionnaireResponse): boolean =>
  questionnaire?.split('|')[0] === formUrl(INTAKE_FORM)

/** Answers count when they are given for good. */
export const isAnswered = ({ status }: QuestionnaireResponse): boolean =>
  status === 'completed' || status === 'amended'

export interface PlacedItem {
  readonly item: QuestionnaireResponseItem
  readonly itemAt: string
}

/** The items that answer for facts; of the intake those of its group of findings. */
export function factItems(response: QuestionnaireResponse, at: string): PlacedItem[] {
  const placed = (items: readonly QuestionnaireResponseItem[] = [], within: string) =>
    items.map((item, index) => ({ item, itemAt: `${within}.item[${index}]` }))
  const all = placed(response.item, at)
  return isIntakeAnswer(response)
    ? all
        .filter(({ item }) => item.linkId === FINDINGS_GROUP)
        .flatMap(({ item, itemAt }) => placed(item.item, itemAt))
    : all
}

/** What was filled in from the record stands there already, with the day on which it was seen. */
export const isFromRecord = (item: QuestionnaireResponseItem): boolean => sourcesOf(item).length > 0

/** The versions that answers were filled in from. */
export const sourcesOf = ({ answer = [], item = [] }: QuestionnaireResponseItem): string[] =>
  [...answer, ...item.flatMap((part) => part.answer ?? [])].flatMap(({ extension = [] }) =>
    extension.flatMap(({ url, valueReference }) =>
      url === ANSWER_SOURCE ? (valueReference?.reference ?? '') : [],
    ),
  )

/**
 * The facts that a form was answered with, each as an observation of the day on which it was answered. An
 * item without an answer is no fact; one that is answered as not known says so and stays unknown.
 *
 * @param at where the response is, for instance `QuestionnaireResponse`
 */
export function informationAnswers(
  response: QuestionnaireResponse,
  at: string,
  latestDay: CivilDate,
): ReadAnswers {
  if (!isAnswered(response)) return { facts: [], faults: [] }
  const faults = [...headFaults(response, at, latestDay)]
  const facts: AnsweredFact[] = []
  const seen = new Set<string>()
  for (const { item, itemAt } of factItems(response, at)) {
    if (isFromRecord(item)) continue
    const question = questionOfLink(item.linkId)
    if (question === undefined || seen.has(item.linkId))
      faults.push(linkFault(itemAt, question !== undefined))
    else {
      seen.add(item.linkId)
      const reading = answeredValue(item, question, itemAt)
      if (reading === undefined) continue
      const found = factOf(reading, { response, question, item, itemAt, latestDay })
      faults.push(...found.faults)
      facts.push(...found.facts)
    }
  }
  return { facts, faults }
}

interface Answered {
  readonly response: QuestionnaireResponse
  readonly question: FactQuestion
  readonly item: QuestionnaireResponseItem
  readonly itemAt: string
  readonly latestDay: CivilDate
}

function factOf(
  reading: AnswerReading,
  { response, question, itemAt, latestDay }: Answered,
): ReadAnswers {
  if (!reading.ok) return { facts: [], faults: [faultOf(reading)] }
  const observation = observationOf(response, question, reading.value)
  // What the answers of the form cannot rule out, the profile of the observation does.
  const [fault] = observationFaults(observation, '', latestDay)
  const { linkId } = question
  if (fault === undefined || hasHeadFault(fault.expression))
    return { facts: [{ linkId, observation }], faults: [] }
  const { expression, text } = fault
  return {
    facts: [],
    faults: [faultOf({ ok: false, at: reading.placeOf(expression, itemAt), text })],
  }
}

/** Told once, of the response. */
const hasHeadFault = (expression: string): boolean =>
  ['.subject', '.effectiveDateTime'].includes(expression)

function observationOf(
  { id, subject, authored, author, source, basedOn }: QuestionnaireResponse,
  { code, side }: FactQuestion,
  value: Partial<Observation>,
): Observation {
  const referrals = basedOn?.filter(({ reference }) => reference?.includes('ServiceRequest/'))
  const performer = [author ?? source].flatMap((one) => one ?? [])
  const byFamily = /(?:^|\/)(?:RelatedPerson|Patient)\//.test(source?.reference ?? '')
  return {
    resourceType: 'Observation',
    ...(referrals === undefined || referrals.length === 0 ? {} : { basedOn: referrals }),
    status: 'final',
    code: concept(code),
    ...(subject === undefined ? {} : { subject }),
    ...(authored === undefined ? {} : { effectiveDateTime: authored }),
    ...(performer.length === 0 ? {} : { performer }),
    ...value,
    ...(side === undefined ? {} : { bodySite: concept(SIDE_CODES[side]) }),
    ...(byFamily ? { method: concept(METHOD_CODES.caregiver) } : {}),
    ...(id === undefined ? {} : { derivedFrom: [{ reference: `QuestionnaireResponse/${id}` }] }),
  }
}

function headFaults(
  { subject, authored = '' }: QuestionnaireResponse,
  at: string,
  latestDay: CivilDate,
): Fault[] {
  const day = authored.slice(0, 10)
  const dayText =
    day.length < 10
      ? 'The day of the answers is needed, with year, month and day.'
      : day > latestDay
        ? 'The answers lie in the future.'
        : undefined
  return [
    ...(subject?.reference === undefined
      ? [
          profileFault(
            `${at}.subject`,
            'answer-subject',
            'A reference to the Patient is needed.',
            'required',
          ),
        ]
      : []),
    ...(dayText === undefined
      ? []
      : [profileFault(`${at}.authored`, 'answer-date', dayText, 'value')]),
  ]
}

const linkFault = (itemAt: string, isRepeated: boolean): Fault =>
  profileFault(
    `${itemAt}.linkId`,
    'answer-item',
    isRepeated
      ? 'Each item of the form is answered once.'
      : `No form of ours asks for this: the linkId is that of an item, whose code is one of ${SYSTEMS.observation}.`,
    'value',
  )

const faultOf = ({ at, text }: Misanswered): Fault =>
  profileFault(at, 'answer-value', text, 'value')
