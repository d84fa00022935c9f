import { isDecimal, numberOf } from './decimal.ts'
import { CHILD_CODES } from './observed-codes.ts'
import type { Code } from './codes.ts'
import { type FactQuestion, firstSeenLink, NO, YES } from './information-questions.ts'
import type {
  Observation,
  QuestionnaireResponseItem,
  QuestionnaireResponseItemAnswer,
} from './r4/types.ts'
import { componentOf, hasCode } from './reading.ts'

/** How an observation answers the question of its fact; undefined where its value is none of the answers. */
export function answerOf(
  observation: Observation,
  { linkId, form }: FactQuestion,
): Pick<QuestionnaireResponseItem, 'answer' | 'item'> | undefined {
  switch (form.kind) {
    case 'seen':
      return seen(observation, form.dated ? firstSeenLink(linkId) : undefined)
    case 'choice': {
      const option = form.options.find(({ code }) =>
        hasCode(observation.valueCodeableConcept, code),
      )
      return option === undefined ? undefined : { answer: [{ valueCoding: coding(option.code) }] }
    }
    case 'quantity': {
      const { valueQuantity } = observation
      return valueQuantity === undefined ? undefined : { answer: [{ valueQuantity }] }
    }
    case 'scores':
    case 'result': {
      const item = form.parts.flatMap((part) => {
        const answer = partAnswer(observation, part.code)
        return answer === undefined ? [] : [{ linkId: part.linkId, answer: [answer] }]
      })
      return item.length === 0 ? undefined : { item }
    }
  }
}

const coding = ({ system, code, display }: Code) => ({ system, code, display })

function seen(
  observation: Observation,
  firstSeen: string | undefined,
): Pick<QuestionnaireResponseItem, 'answer'> | undefined {
  const { valueBoolean } = observation
  if (valueBoolean === undefined) return undefined
  const day = componentOf(observation, CHILD_CODES.attainedOn)?.valueDateTime?.slice(0, 10)
  const isDated = valueBoolean && firstSeen !== undefined && day?.length === 'YYYY-MM-DD'.length
  return {
    answer: [
      {
        valueCoding: coding((valueBoolean ? YES : NO).code),
        ...(isDated ? { item: [{ linkId: firstSeen, answer: [{ valueDate: day }] }] } : {}),
      },
    ],
  }
}

/** A score, or a number of a result: its unit is that of its item. */
function partAnswer(
  observation: Observation,
  code: Code,
): QuestionnaireResponseItemAnswer | undefined {
  const component = componentOf(observation, code)
  if (component?.valueInteger !== undefined) return { valueInteger: component.valueInteger }
  const value = component?.valueQuantity?.value
  return value === undefined || !isDecimal(value) || Number.isNaN(numberOf(value))
    ? undefined
    : { valueDecimal: value }
}
