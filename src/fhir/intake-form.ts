import { say } from '../domain/messages/message.ts'
import { type Code, EXCHANGE_CODES } from './codes.ts'
import { formUrl, INTAKE_FORM } from './conformance/referral-plan.ts'
import { CAUTION, publication } from './conformance/publication.ts'
import { concept, forFamily, type Speaking } from './derived.ts'
import { formQuestionnaire } from './information-form.ts'
import { FACT_QUESTIONS } from './information-questions.ts'
import {
  INTAKE_GROUPS,
  type IntakeGroup,
  type IntakeQuestion,
  LAST_GROUPS,
} from './intake-questions.ts'
import { launchContexts } from './populate-context.ts'
import type { Questionnaire, QuestionnaireItem } from './r4/types.ts'
import { translations } from './translations.ts'

export const FINDINGS_GROUP = 'findings'
const TITLE = say('part.intake-form')
const FINDINGS = say('part.intake-findings')

/** What a clinic needs to know to take a referral; the facts among it are asked as everywhere. */
export function intakeQuestionnaire(version: string, speaking: Speaking): Questionnaire {
  const { language, therapist } = speaking.speaker
  const facts = formQuestionnaire(
    { url: formUrl(INTAKE_FORM), questions: FACT_QUESTIONS },
    speaking,
  )
  return {
    resourceType: 'Questionnaire',
    ...publication('Questionnaire', INTAKE_FORM, version),
    language,
    extension: launchContexts(),
    name: 'ReferralIntake',
    title: therapist(TITLE),
    _title: translations(TITLE, language),
    description: `The minimum dataset of a referral. What a record knows already is filled in by $populate. ${CAUTION}`,
    subjectType: ['Patient'],
    code: concept(EXCHANGE_CODES.referral).coding ?? [],
    item: [
      ...INTAKE_GROUPS.map((group) => groupItem(group, speaking)),
      {
        linkId: FINDINGS_GROUP,
        ...texts(FINDINGS, speaking),
        type: 'group',
        item: facts.item ?? [],
      },
      ...LAST_GROUPS.map((group) => groupItem(group, speaking)),
    ],
  }
}

const texts = (text: IntakeGroup['text'], speaking: Speaking) => ({
  extension: forFamily(speaking, text),
  text: speaking.speaker.therapist(text),
  _text: translations(text, speaking.speaker.language),
})

const groupItem = (
  { linkId, text, questions }: IntakeGroup,
  speaking: Speaking,
): QuestionnaireItem => ({
  linkId,
  ...texts(text, speaking),
  type: 'group',
  item: questions.map((question) => questionItem(question, speaking)),
})

const questionItem = (
  { linkId, text, type, required = false, repeats = false, options, words }: IntakeQuestion,
  speaking: Speaking,
): QuestionnaireItem => ({
  linkId,
  ...texts(text, speaking),
  type,
  required,
  repeats,
  ...(options === undefined ? {} : { answerOption: options.map(optionOf) }),
  ...(words === undefined ? {} : { answerOption: words.map((valueString) => ({ valueString })) }),
})

const optionOf = ({ system, code, display }: Code) => ({ valueCoding: { system, code, display } })
