import type { FitCheckItem, FittingPlan } from '../domain/plan/fitting.ts'
import { FIT_CHECK_URL } from './fit-check-answers.ts'
import { CANONICAL, EXCHANGE_CODES, UNITS } from './codes.ts'
import { say } from '../domain/messages/message.ts'
import { concept, forFamily, quantity, type Speaking } from './derived.ts'
import type { Questionnaire, QuestionnaireItem } from './r4/types.ts'
import { list, narrative, paragraph } from './xhtml.ts'

const TOLERANCE = `${CANONICAL}/StructureDefinition/tolerance`
const UNIT = 'http://hl7.org/fhir/StructureDefinition/questionnaire-unit'

/** What is checked on delivery and at every visit; values outside a tolerance may well be answered. */
export function fitCheckQuestionnaire(
  { fitCheck, proposedOn }: FittingPlan,
  speaking: Speaking,
): Questionnaire {
  const { language, therapist } = speaking.speaker
  const title = therapist(say('part.fit-check'))
  return {
    resourceType: 'Questionnaire',
    language,
    url: FIT_CHECK_URL,
    text: narrative(paragraph(title), list(fitCheck.map(({ question }) => therapist(question)))),
    title,
    status: 'draft',
    subjectType: ['Patient'],
    date: proposedOn,
    code: [concept(EXCHANGE_CODES.fitCheck).coding?.[0] ?? {}],
    item: fitCheck.map((item) => questionnaireItem(item, speaking)),
  }
}

function questionnaireItem(item: FitCheckItem, speaking: Speaking): QuestionnaireItem {
  const linkId = item.side === undefined ? item.id : `${item.id}.${item.side}`
  const family = forFamily(speaking, item.question)
  const common = { linkId, text: speaking.speaker.therapist(item.question), required: true }
  if (item.answer === 'yes-no') return { ...common, extension: family, type: 'boolean' }
  const unit = item.answer === 'mm' ? UNITS.millimetres : UNITS.minutes
  return {
    ...common,
    type: 'quantity',
    extension: [
      ...family,
      {
        url: UNIT,
        valueCoding: { system: 'http://unitsofmeasure.org', code: unit.code, display: unit.unit },
      },
      ...(item.tolerance === undefined
        ? []
        : [
            {
              url: TOLERANCE,
              valueRange: {
                low: quantity(item.tolerance.min, item.answer === 'mm' ? 'millimetres' : 'minutes'),
                high: quantity(
                  item.tolerance.max,
                  item.answer === 'mm' ? 'millimetres' : 'minutes',
                ),
              },
            },
          ]),
    ],
  }
}
