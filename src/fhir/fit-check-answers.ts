import { type Side, SIDES } from '../domain/child.ts'
import { type Evidence, evidenceRef } from '../domain/facts.ts'
import type { FitCheckAnswer } from '../domain/follow-up/fit-check-result.ts'
import type { Fault } from '../errors.ts'
import { CANONICAL, SYSTEMS, UNITS } from './codes.ts'
import { numberOf } from './decimal.ts'
import { profileFault } from './observation-profile.ts'
import type { QuestionnaireResponse, QuestionnaireResponseItem } from './r4/types.ts'
import type { RecordEntry } from './record-facts.ts'

/** The fit check asks for what the plan of the child asks for; its address is the same for every plan. */
export const FIT_CHECK_URL = `${CANONICAL}/Questionnaire/fit-check`

/** A version after `|` does not matter: an item that is not asked for is found when it is evaluated. */
export const isFitCheck = ({ questionnaire }: QuestionnaireResponse): boolean =>
  questionnaire?.split('|')[0] === FIT_CHECK_URL

export interface AnsweredFitCheck {
  readonly answers: readonly FitCheckAnswer[]
  /** Feet that are spoken of. */
  readonly sides: readonly Side[]
}

/** What was answered; an item that was left out has no answer. */
export function fitCheckAnswers(entry: {
  readonly reference: string
  readonly resource: QuestionnaireResponse
}): AnsweredFitCheck {
  const evidence = evidenceRef(entry.reference)
  const answers = (entry.resource.item ?? []).flatMap((item) => answerOf(item, evidence))
  const sides = SIDES.filter((side) => answers.some((answer) => answer.side === side))
  return { answers, sides }
}

function answerOf(item: QuestionnaireResponseItem, evidence: Evidence): FitCheckAnswer[] {
  const { id, side } = itemName(item.linkId)
  return (item.answer ?? []).map((answer) => ({
    id,
    ...(side === undefined ? {} : { side }),
    value: answer.valueBoolean ?? measured(answer) ?? 'unknown',
    evidence,
  }))
}

/** `closure-gap.left` is the item of one foot. */
function itemName(linkId: string): { readonly id: string; readonly side?: Side } {
  const [id = '', side] = linkId.split('.')
  return side === 'left' || side === 'right' ? { id, side } : { id: linkId }
}

type Answer = NonNullable<QuestionnaireResponseItem['answer']>[number]

/** Millimetres or minutes. */
function measured({ valueQuantity }: Answer): number | undefined {
  const { value, system, code } = valueQuantity ?? {}
  if (value === undefined || system !== SYSTEMS.ucum) return undefined
  if (code === UNITS.centimetres.code) return numberOf(value) * 10
  return code === UNITS.millimetres.code || code === UNITS.minutes.code
    ? numberOf(value)
    : undefined
}

const MOST_MINUTES = 1440
/** Common practice, no source: no edge or gap is further away than a child's foot is long; past it is negative. */
const MOST_MM = 200

const canBe = ({ valueQuantity }: Answer, value: number): boolean =>
  valueQuantity?.code === UNITS.minutes.code
    ? value >= 0 && value <= MOST_MINUTES
    : Math.abs(value) <= MOST_MM

/** What we ask of an answered fit check: yes or no, or a length or a time in units that we know. */
export const fitCheckFaults = (response: QuestionnaireResponse, at: string): Fault[] =>
  (response.item ?? []).flatMap((item, index) =>
    (item.answer ?? []).flatMap((answer, place) => {
      const value = answer.valueBoolean ?? measured(answer)
      if (value !== undefined && (typeof value === 'boolean' || canBe(answer, value))) return []
      const text =
        value === undefined
          ? `true or false is needed, or a quantity in mm, cm or min coded in ${SYSTEMS.ucum}.`
          : `This cannot be: a time is 0 to ${MOST_MINUTES} min, a length up to ${MOST_MM} mm.`
      return [
        profileFault(`${at}.item[${index}].answer[${place}]`, 'fit-check-answer', text, 'value'),
      ]
    }),
  )

/** The fit checks of a record that were completed, oldest first. */
export const fitChecksOf = (
  record: readonly RecordEntry[],
): { readonly reference: string; readonly resource: QuestionnaireResponse }[] =>
  record
    .flatMap(({ reference, resource }) =>
      resource.resourceType === 'QuestionnaireResponse' &&
      isFitCheck(resource) &&
      (resource.status === 'completed' || resource.status === 'amended')
        ? [{ reference, resource }]
        : [],
    )
    .toSorted((a, b) => (a.resource.authored ?? '').localeCompare(b.resource.authored ?? ''))
