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

/** The intake of a child, with what its record knows already: an item for each question, answered or not. */
export function intakeResponse(
  record: readonly RecordEntry[],
  of: { readonly patientId: string; readonly version: string; readonly authored: string },
): QuestionnaireResponse {
  const known = knownAnswers(record, answeredFrom)
  const groupOf = ({ linkId, questions }: IntakeGroup): QuestionnaireResponseItem => ({
    linkId,
    item: questions.map((question) => {
      const answer = known.get(question.linkId) ?? []
      return { linkId: question.linkId, ...(answer.length === 0 ? {} : { answer }) }
    }),
  })
  return {
    resourceType: 'QuestionnaireResponse',
    questionnaire: `${formUrl(INTAKE_FORM)}|${of.version}`,
    status: 'in-progress',
    subject: { reference: `Patient/${of.patientId}` },
    authored: of.authored,
    item: [
      ...INTAKE_GROUPS.map(groupOf),
      {
        linkId: FINDINGS_GROUP,
        item: FACT_QUESTIONS.map(
          (question) => factItem(record, question) ?? unansweredItem(question),
        ),
      },
      ...LAST_GROUPS.map(groupOf),
    ],
  }
}

const unansweredItem = ({ linkId, form }: FactQuestion): QuestionnaireResponseItem => ({
  linkId,
  ...('parts' in form ? { item: form.parts.map((part) => ({ linkId: part.linkId })) } : {}),
})

/** What was observed last. Where two of one day disagree it is not known, and asked anew. */
function factItem(
  record: readonly RecordEntry[],
  question: FactQuestion,
): QuestionnaireResponseItem | undefined {
  const found = record
    .flatMap(({ reference, resource }) =>
      resource.resourceType === 'Observation' && isOf(resource, question)
        ? [{ reference, resource, on: dayOf(resource.effectiveDateTime) ?? '' }]
        : [],
    )
    .toSorted((one, other) => other.on.localeCompare(one.on))
  const [latest] = found
  if (latest === undefined || latest.on === '') return undefined
  const answer = answerOf(latest.resource, question)
  const disagrees = found
    .filter(({ on }) => on === latest.on)
    .some(({ resource }) => JSON.stringify(answerOf(resource, question)) !== JSON.stringify(answer))
  if (answer === undefined || disagrees) return undefined
  const { linkId } = question
  const { reference } = latest
  const from = (one: QuestionnaireResponseItemAnswer) => answeredFrom(reference, one)
  return answer.item === undefined
    ? { linkId, answer: (answer.answer ?? []).map(from) }
    : {
        linkId,
        item: answer.item.map((one) => ({ ...one, answer: (one.answer ?? []).map(from) })),
      }
}

const isOf = (observation: Observation, { code, side }: FactQuestion): boolean =>
  ['final', 'amended', 'corrected', 'preliminary', 'registered'].includes(observation.status) &&
  hasCode(observation.code, code) &&
  (side === undefined || hasCode(observation.bodySite, SIDE_CODES[side]))
