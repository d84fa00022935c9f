import { FPI_SCORE } from './observed.ts'
import { CHILD_CODES } from './observed-codes.ts'
import { SYSTEMS, UNITS } from './codes.ts'
import { concept } from './derived.ts'
import {
  type AnswerForm,
  type FactQuestion,
  firstSeenLink,
  NO,
  NOT_KNOWN,
  YES,
} from './information-questions.ts'
import type {
  CodeableConcept,
  Observation,
  QuestionnaireResponseItem,
  QuestionnaireResponseItemAnswer,
} from './r4/types.ts'

/** Something that cannot be an answer: where, and what would be right. */
export interface Misanswered {
  readonly ok: false
  readonly at: string
  readonly text: string
}

export type AnswerReading =
  | {
      readonly ok: true
      readonly value: Partial<Observation>
      /** Where in the response that stands what is wrong with the observation. */
      readonly placeOf: (expression: string, itemAt: string) => string
    }
  | Misanswered

const ASKED_UNKNOWN: CodeableConcept = {
  coding: [
    { system: SYSTEMS.dataAbsentReason, code: 'asked-unknown', display: 'Asked But Unknown' },
  ],
}

const misanswered = (at: string, text: string): Misanswered => ({ ok: false, at, text })

/** What an item is answered with, as parts of an observation; undefined when nobody answered it. */
export function answeredValue(
  item: QuestionnaireResponseItem,
  question: FactQuestion,
  itemAt: string,
): AnswerReading | undefined {
  const { form } = question
  if (form.kind === 'scores' || form.kind === 'result') return ofParts(item, form, itemAt)
  if ((item.item ?? []).length > 0)
    return misanswered(`${itemAt}.item[0]`, 'What belongs to an answer stands within the answer.')
  const [answer, another] = item.answer ?? []
  if (another !== undefined) return misanswered(`${itemAt}.answer[1]`, 'One answer is needed.')
  if (answer === undefined) return undefined
  const answerAt = `${itemAt}.answer[0]`
  if (form.kind === 'quantity') return ofQuantity(answer, answerAt)
  return ofChoice(answer, { form, answerAt, linkId: question.linkId })
}

interface Chosen {
  readonly form: Extract<AnswerForm, { readonly kind: 'seen' | 'choice' }>
  readonly answerAt: string
  readonly linkId: string
}

function ofChoice(answer: QuestionnaireResponseItemAnswer, chosen: Chosen): AnswerReading {
  const { form, answerAt, linkId } = chosen
  const { valueCoding } = answer
  const all = [...(form.kind === 'seen' ? [YES, NO] : form.options), NOT_KNOWN]
  const option = all.find(
    ({ code }) => code.system === valueCoding?.system && code.code === valueCoding.code,
  )
  const codes = all.map(({ code }) => code.code).join(', ')
  if (option === undefined)
    return misanswered(
      `${answerAt}.${valueCoding === undefined ? 'value' : 'valueCoding'}`,
      `A valueCoding is needed, one of ${codes} of ${SYSTEMS.value}.`,
    )
  const day = dayWithin(answer, { answerAt, linkId, isSeen: option === YES })
  if (!day.ok) return day
  const placeOf = (): string => `${answerAt}.valueCoding`
  if (option === NOT_KNOWN) return { ok: true, value: { dataAbsentReason: ASKED_UNKNOWN }, placeOf }
  const value =
    form.kind === 'seen'
      ? { valueBoolean: option === YES, ...day.value }
      : { valueCodeableConcept: concept(option.code) }
  return { ok: true, value, placeOf }
}

/** The day on which something was first seen, where it is asked and was answered. */
function dayWithin(
  { item = [] }: QuestionnaireResponseItemAnswer,
  {
    answerAt,
    linkId,
    isSeen,
  }: { readonly answerAt: string; readonly linkId: string; readonly isSeen: boolean },
): { readonly ok: true; readonly value: Partial<Observation> } | Misanswered {
  const [within, another] = item
  if (within === undefined) return { ok: true, value: {} }
  const at = `${answerAt}.item[0]`
  if (another !== undefined) return misanswered(`${answerAt}.item[1]`, 'Nothing more is asked.')
  if (within.linkId !== firstSeenLink(linkId))
    return misanswered(`${at}.linkId`, `Only ${firstSeenLink(linkId)} is asked here.`)
  const [answer] = within.answer ?? []
  if (answer === undefined) return { ok: true, value: {} }
  const { valueDate = '' } = answer
  if (!isSeen) return misanswered(`${at}.answer[0]`, 'A day is asked only of what has been seen.')
  if (valueDate.length !== 'YYYY-MM-DD'.length)
    return misanswered(`${at}.answer[0].valueDate`, 'A date with year, month and day is needed.')
  const component = [{ code: concept(CHILD_CODES.attainedOn), valueDateTime: valueDate }]
  return { ok: true, value: { component } }
}

function ofQuantity(answer: QuestionnaireResponseItemAnswer, answerAt: string): AnswerReading {
  const { valueQuantity } = answer
  if (valueQuantity === undefined)
    return misanswered(`${answerAt}.value`, 'A valueQuantity with its UCUM unit is needed.')
  return {
    ok: true,
    value: { valueQuantity },
    placeOf: (expression) => `${answerAt}${expression}`,
  }
}

type OfParts = Extract<AnswerForm, { readonly parts: unknown }>

function ofParts(
  { item = [], answer }: QuestionnaireResponseItem,
  form: OfParts,
  itemAt: string,
): AnswerReading | undefined {
  if (answer !== undefined)
    return misanswered(`${itemAt}.answer[0]`, 'This is a group: its items are answered.')
  const component = []
  let first: string | undefined
  for (const [index, one] of item.entries()) {
    const at = `${itemAt}.item[${index}]`
    const part = form.parts.find(({ linkId }) => linkId === one.linkId)
    // Each once.
    if (part === undefined || item.findIndex(({ linkId }) => linkId === one.linkId) !== index)
      return misanswered(`${at}.linkId`, 'This is no item of the group, or it was answered before.')
    const [given, another] = one.answer ?? []
    if (another !== undefined) return misanswered(`${at}.answer[1]`, 'One answer is needed.')
    if (given === undefined) continue
    const reading = partValue(given, part.unit, `${at}.answer[0]`)
    if (!reading.ok) return reading
    first ??= reading.at
    component.push({ code: concept(part.code), ...reading.value })
  }
  if (first === undefined) return undefined
  const place = form.kind === 'scores' || component.length === 1 ? first : itemAt
  return { ok: true, value: { component }, placeOf: () => place }
}

type PartReading =
  | {
      readonly ok: true
      readonly value: Pick<Observation, 'valueInteger' | 'valueQuantity'>
      readonly at: string
    }
  | Misanswered

/** Scores from -2 to 2; numbers of a result get the unit that their item asks for. */
function partValue(
  { valueInteger, valueDecimal }: QuestionnaireResponseItemAnswer,
  unit: 'percent' | 'ratio' | undefined,
  at: string,
): PartReading {
  if (unit === undefined) {
    const isScore =
      valueInteger !== undefined && valueInteger >= FPI_SCORE.min && valueInteger <= FPI_SCORE.max
    return isScore
      ? { ok: true, value: { valueInteger }, at: `${at}.valueInteger` }
      : misanswered(
          `${at}.valueInteger`,
          `Each item is scored from ${FPI_SCORE.min} to ${FPI_SCORE.max}, as valueInteger.`,
        )
  }
  if (valueDecimal === undefined)
    return misanswered(`${at}.valueDecimal`, 'A number is needed, as valueDecimal.')
  const { unit: name, code } = UNITS[unit]
  const valueQuantity = { value: valueDecimal, unit: name, system: SYSTEMS.ucum, code }
  return { ok: true, value: { valueQuantity }, at: `${at}.valueDecimal` }
}
