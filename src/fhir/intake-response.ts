import { CANONICAL, SIDE_CODES } from './codes.ts'
import { formUrl, INTAKE_FORM } from './conformance/referral-plan.ts'
import { answerOf } from './fact-answers.ts'
import { FACT_QUESTIONS, type FactQuestion } from './information-questions.ts'
import { FINDINGS_GROUP } from './intake-form.ts'
import { knownAnswers } from './intake-known.ts'
import { INTAKE_GROUPS, type IntakeGroup, LAST_GROUPS } from './intake-questions.ts'
import type {
  Observation,
  QuestionnaireResponse,
  QuestionnaireResponseItem,
  QuestionnaireResponseItemAnswer,
} from './r4/types.ts'
import { hasCode } from './reading.ts'
import { dayOf, type RecordEntry } from './record-facts.ts'

/** Where an answer comes from: the version of a resource. */
export const ANSWER_SOURCE = `${CANONICAL}/StructureDefinition/answer-source`

/** An answer with the version of the resource that it comes from. */
export const answeredFrom = (
  reference: string,
  answer: QuestionnaireResponseItemAnswer,
): QuestionnaireResponseItemAnswer => ({
  extension: [{ url: ANSWER_SOURCE, valueReference: { reference } }],
  ...answer,
})

/** The intake of a child, with what its record knows already. What is not known is not there. */
export function intakeResponse(
  record: readonly RecordEntry[],
  of: { readonly patientId: string; readonly version: string; readonly authored: string },
): QuestionnaireResponse {
  const known = knownAnswers(record, answeredFrom)
  const groupOf = ({ linkId, questions }: IntakeGroup): QuestionnaireResponseItem[] =>
    grouped(
      linkId,
      questions.flatMap((question) => {
        const answers = known.get(question.linkId) ?? []
        return answers.length === 0 ? [] : [{ linkId: question.linkId, answer: answers }]
      }),
    )
  const item = [
    ...INTAKE_GROUPS.flatMap(groupOf),
    ...grouped(
      FINDINGS_GROUP,
      FACT_QUESTIONS.flatMap((question) => factItem(record, question)),
    ),
    ...LAST_GROUPS.flatMap(groupOf),
  ]
  return {
    resourceType: 'QuestionnaireResponse',
    questionnaire: `${formUrl(INTAKE_FORM)}|${of.version}`,
    status: 'in-progress',
    subject: { reference: `Patient/${of.patientId}` },
    authored: of.authored,
    ...(item.length === 0 ? {} : { item }),
  }
}

const grouped = (
  linkId: string,
  item: readonly QuestionnaireResponseItem[],
): QuestionnaireResponseItem[] => (item.length === 0 ? [] : [{ linkId, item }])

/** What was observed last. Where two of one day disagree it is not known, and asked anew. */
function factItem(
  record: readonly RecordEntry[],
  question: FactQuestion,
): QuestionnaireResponseItem[] {
  const found = record
    .flatMap(({ reference, resource }) =>
      resource.resourceType === 'Observation' && isOf(resource, question)
        ? [{ reference, resource, on: dayOf(resource.effectiveDateTime) ?? '' }]
        : [],
    )
    .toSorted((one, other) => other.on.localeCompare(one.on))
  const [latest] = found
  if (latest === undefined || latest.on === '') return []
  const answer = answerOf(latest.resource, question)
  const disagrees = found
    .filter(({ on }) => on === latest.on)
    .some(({ resource }) => JSON.stringify(answerOf(resource, question)) !== JSON.stringify(answer))
  if (answer === undefined || disagrees) return []
  const { linkId } = question
  const { reference } = latest
  const from = (one: QuestionnaireResponseItemAnswer) => answeredFrom(reference, one)
  return answer.item === undefined
    ? [{ linkId, answer: (answer.answer ?? []).map(from) }]
    : [
        {
          linkId,
          item: answer.item.map((one) => ({ ...one, answer: (one.answer ?? []).map(from) })),
        },
      ]
}

const isOf = (observation: Observation, { code, side }: FactQuestion): boolean =>
  ['final', 'amended', 'corrected', 'preliminary', 'registered'].includes(observation.status) &&
  hasCode(observation.code, code) &&
  (side === undefined || hasCode(observation.bodySite, SIDE_CODES[side]))
