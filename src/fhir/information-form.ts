import { createHash } from 'node:crypto'
import { type Message, say } from '../domain/messages/message.ts'
import { CANONICAL, type Code, SIDE_CODES, SYSTEMS, UNITS } from './codes.ts'
import { forFamily, type Speaking } from './derived.ts'
import {
  type AnswerOption,
  FACT_QUESTIONS,
  type FactQuestion,
  firstSeenLink,
  NO,
  NOT_KNOWN,
  type QuestionPart,
  YES,
} from './information-questions.ts'
import { linkOf, type NeededObservation } from './needed-observations.ts'
import type { Coding, Questionnaire, QuestionnaireItem } from './r4/types.ts'
import { translations } from './translations.ts'
import { list, narrative, paragraph } from './xhtml.ts'

/** New whenever a question, an answer or the order of a form changes. */
export const FORM_VERSION = '1'

export const FACT_PROFILE = `${CANONICAL}/StructureDefinition/fact`
const FORM_URL = `${CANONICAL}/Questionnaire/information-`
const UNIT_OPTION = 'http://hl7.org/fhir/StructureDefinition/questionnaire-unitOption'
const TITLE = say('part.information-form')

/** The form that asks for one set of facts; the same set has the same form, whichever child it is of. */
export interface InformationForm {
  /** Without its version. */
  readonly url: string
  readonly questions: readonly FactQuestion[]
}

/** The form that asks for all that is needed; undefined when nothing of it can be asked with a form. */
export function informationForm(needed: readonly NeededObservation[]): InformationForm | undefined {
  const wanted = new Set(needed.map(({ code, side }) => linkOf(code, side)))
  const questions = FACT_QUESTIONS.filter(({ linkId }) => wanted.has(linkId))
  if (questions.length === 0) return undefined
  const names = questions.map(({ linkId }) => linkId).join(' ')
  const hash = createHash('sha256').update(names).digest('hex')
  return { url: `${FORM_URL}${hash.slice(0, 12)}`, questions }
}

export const canonicalOf = ({ url }: InformationForm): string => `${url}|${FORM_VERSION}`

/** Is it a form, or the answer to a form, that asks for facts? */
export const isInformationForm = (canonical: string | undefined): boolean =>
  canonical?.startsWith(FORM_URL) ?? false

export function formQuestionnaire(
  { url, questions }: InformationForm,
  speaking: Speaking,
): Omit<Questionnaire, 'id'> {
  const { language, therapist } = speaking.speaker
  return {
    resourceType: 'Questionnaire',
    language,
    url,
    version: FORM_VERSION,
    text: narrative(
      paragraph(therapist(TITLE)),
      list(questions.map(({ text }) => therapist(text))),
    ),
    name: `Information${url.slice(FORM_URL.length)}`,
    title: therapist(TITLE),
    _title: translations(TITLE, language),
    status: 'active',
    experimental: false,
    subjectType: ['Patient'],
    publisher: 'Footing',
    item: questions.map((question) => itemOf(question, speaking)),
  }
}

const coding = ({ system, code, display }: Code): Coding => ({ system, code, display })

function itemOf(question: FactQuestion, speaking: Speaking): QuestionnaireItem {
  const { linkId, code, side, text, form } = question
  const item = {
    linkId,
    extension: forFamily(speaking, text),
    definition: `${FACT_PROFILE}#Observation.value[x]`,
    code: [coding(code), ...(side === undefined ? [] : [coding(SIDE_CODES[side])])],
    ...asked(text, speaking),
  }
  switch (form.kind) {
    case 'seen':
      return {
        ...item,
        type: 'choice',
        answerOption: [YES, NO, NOT_KNOWN].map(optionOf),
        ...(form.dated ? { item: [firstSeenItem(linkId, speaking)] } : {}),
      }
    case 'choice':
      return { ...item, type: 'choice', answerOption: [...form.options, NOT_KNOWN].map(optionOf) }
    case 'quantity': {
      const units = form.units.map((unit) => unitOption(UNITS[unit]))
      return { ...item, extension: [...item.extension, ...units], type: 'quantity' }
    }
    case 'scores':
      return { ...item, type: 'group', item: partsOf(form, 'integer', speaking) }
    case 'result':
      return { ...item, type: 'group', item: partsOf(form, 'decimal', speaking) }
  }
}

/** What is asked once, and may stay unanswered. */
const asked = (text: Message, { speaker }: Speaking) => ({
  text: speaker.therapist(text),
  _text: translations(text, speaker.language),
  required: false,
  repeats: false,
})

const partsOf = (
  { parts }: { readonly parts: readonly QuestionPart[] },
  type: 'integer' | 'decimal',
  speaking: Speaking,
): QuestionnaireItem[] =>
  parts.map(({ linkId, code, title }) => ({
    linkId,
    code: [coding(code)],
    ...asked(title, speaking),
    type,
  }))

function firstSeenItem(linkId: string, speaking: Speaking): QuestionnaireItem {
  const text = say('information.first-seen')
  return {
    linkId: firstSeenLink(linkId),
    extension: forFamily(speaking, text),
    ...asked(text, speaking),
    type: 'date',
    enableWhen: [{ question: linkId, operator: '=', answerCoding: coding(YES.code) }],
  }
}

/** The display is that of the code, which is English; the other languages are beside it. */
const optionOf = ({ code, title }: AnswerOption) => ({
  valueCoding: { ...coding(code), _display: translations(title, 'en') },
})

const unitOption = ({ unit, code }: { readonly unit: string; readonly code: string }) => ({
  url: UNIT_OPTION,
  valueCoding: { system: SYSTEMS.ucum, code, display: unit },
})
