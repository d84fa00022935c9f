import type { FitCheckItem, FittingPlan } from '../domain/plan/fitting.ts'
import { CANONICAL, EXCHANGE_CODES, UNITS } from './codes.ts'
import { concept, quantity } from './derived.ts'
import type { Questionnaire, QuestionnaireItem } from './r4/types.ts'
import { list, narrative, paragraph } from './xhtml.ts'

const TOLERANCE = `${CANONICAL}/StructureDefinition/tolerance`
const UNIT = 'http://hl7.org/fhir/StructureDefinition/questionnaire-unit'

/** What is checked on delivery and at every visit; values outside a tolerance may well be answered. */
export function fitCheckQuestionnaire({ fitCheck, proposedOn }: FittingPlan): Questionnaire {
  return {
    resourceType: 'Questionnaire',
    text: narrative(
      paragraph('Fit check of the orthosis'),
      list(fitCheck.map((item) => item.question.therapist)),
    ),
    title: 'Fit check of the orthosis',
    status: 'draft',
    subjectType: ['Patient'],
    date: proposedOn,
    code: [concept(EXCHANGE_CODES.fitCheck).coding?.[0] ?? {}],
    item: fitCheck.map(questionnaireItem),
  }
}

function questionnaireItem(item: FitCheckItem): QuestionnaireItem {
  const linkId = item.side === undefined ? item.id : `${item.id}.${item.side}`
  const common = { linkId, text: item.question.therapist, required: true }
  if (item.answer === 'yes-no') return { ...common, type: 'boolean' }
  const unit = item.answer === 'mm' ? UNITS.millimetres : UNITS.minutes
  return {
    ...common,
    type: 'quantity',
    extension: [
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
