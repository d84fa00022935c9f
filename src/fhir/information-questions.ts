import { ASHWORTH_GRADES, DESCRIBED_SKILLS, MILESTONES, type Side } from '../domain/child.ts'
import { factTerm } from '../domain/decision/fact-terms.ts'
import { type Message, say, together } from '../domain/messages/message.ts'
import { ashworthCode, type Code, type UnitName, VALUE_CODES } from './codes.ts'
import { FACT_CODES } from './fact-codes.ts'
import { CHILD_CODES, FOOT_CODES, FPI_ITEM_CODES, RESULT_CODES } from './observed-codes.ts'

/** A coded answer, and what it is called. */
export interface AnswerOption {
  readonly code: Code
  readonly title: Message
}

/** One value of several that make a fact. */
export interface QuestionPart {
  readonly linkId: string
  readonly code: Code
  readonly title: Message
  /** Of a number; a score has none. */
  readonly unit?: 'percent' | 'ratio'
}

/** How a fact is asked for. */
export type AnswerForm =
  /** Yes, no, not known; `dated` when the day it was first seen is asked too. */
  | { readonly kind: 'seen'; readonly dated: boolean }
  | { readonly kind: 'choice'; readonly options: readonly AnswerOption[] }
  | { readonly kind: 'quantity'; readonly units: readonly UnitName[] }
  | { readonly kind: 'scores'; readonly parts: readonly QuestionPart[] }
  | { readonly kind: 'result'; readonly parts: readonly QuestionPart[] }

/** A fact that can be asked for with a form. */
export interface FactQuestion {
  /** The same in every form that asks for the fact. */
  readonly linkId: string
  readonly code: Code
  readonly side?: Side
  readonly form: AnswerForm
  readonly text: Message
}

export const YES: AnswerOption = { code: VALUE_CODES.yes, title: say('part.answer-yes') }
export const NO: AnswerOption = { code: VALUE_CODES.no, title: say('part.answer-no') }
/** Whoever chooses it says that it was asked and is not known. */
export const NOT_KNOWN: AnswerOption = {
  code: VALUE_CODES.unknown,
  title: say('part.answer-unknown'),
}

const TONES: readonly AnswerOption[] = [
  { code: VALUE_CODES.low, title: say('part.answer-tone-low') },
  { code: VALUE_CODES.normal, title: say('part.answer-tone-normal') },
  { code: VALUE_CODES.raised, title: say('part.answer-tone-raised') },
]

const ASHWORTH: readonly AnswerOption[] = ASHWORTH_GRADES.map((grade) => ({
  code: ashworthCode(grade),
  title: say('part.answer-ashworth', { grade }),
}))

const FPI_TITLES: Readonly<Record<keyof typeof FPI_ITEM_CODES, Message>> = {
  1: say('part.fpi-item-1'),
  2: say('part.fpi-item-2'),
  3: say('part.fpi-item-3'),
  4: say('part.fpi-item-4'),
  5: say('part.fpi-item-5'),
  6: say('part.fpi-item-6'),
}

const ofResult = (code: Code, title: Message, unit: 'percent' | 'ratio') => ({
  linkId: code.code,
  code,
  title,
  unit,
})

const RESULT: AnswerForm = {
  kind: 'result',
  parts: [
    ofResult(RESULT_CODES.percentDelay, say('part.percent-delay'), 'percent'),
    ofResult(RESULT_CODES.zScore, say('part.z-score'), 'ratio'),
    ofResult(RESULT_CODES.standardScore, say('part.standard-score'), 'ratio'),
    ofResult(RESULT_CODES.testMean, say('part.standard-score-mean'), 'ratio'),
    ofResult(RESULT_CODES.testSd, say('part.standard-score-sd'), 'ratio'),
  ],
}

/** Facts that are not answered with yes or no. What is not here and is no yes-no fact is not asked. */
const FORMS: ReadonlyMap<Code, AnswerForm> = new Map<Code, AnswerForm>([
  [CHILD_CODES.tone, { kind: 'choice', options: TONES }],
  [CHILD_CODES.standardised, RESULT],
  [FOOT_CODES.ashworthCalf, { kind: 'choice', options: ASHWORTH }],
  [FOOT_CODES.ankleDorsiflexion, { kind: 'quantity', units: ['degrees'] }],
])

const SEEN_OF_FOOT: ReadonlySet<Code> = new Set([
  FOOT_CODES.archSeenUnloaded,
  FOOT_CODES.tiptoeArchAndHeelInversion,
  FOOT_CODES.greatToeExtensionRaisesArch,
  FOOT_CODES.openSkin,
  FOOT_CODES.insensate,
])

/** Every fact that can be asked for, in the order in which a form asks. */
export const FACT_QUESTIONS: readonly FactQuestion[] = [...FACT_CODES].flatMap(
  ([fact, { code, side }]) => {
    const linkId = side === undefined ? code.code : `${code.code}.${side}`
    const form = formOf(fact, code, linkId)
    if (form === undefined) return []
    const of = side === undefined ? {} : { side }
    return [{ linkId, code, ...of, form, text: questionOf(fact, form, of) }]
  },
)

function formOf(fact: string, code: Code, linkId: string): AnswerForm | undefined {
  const [list = ''] = fact.split('.')
  if (list === 'milestoneChecks') return { kind: 'seen', dated: true }
  if (list === 'skillChecks' || list === 'signs' || SEEN_OF_FOOT.has(code))
    return { kind: 'seen', dated: false }
  if (fact === 'gestationDays') return { kind: 'quantity', units: ['days', 'weeks'] }
  if (code === FOOT_CODES.fpi)
    return {
      kind: 'scores',
      parts: ([1, 2, 3, 4, 5, 6] as const).map((item) => ({
        linkId: `${linkId}.${item}`,
        code: FPI_ITEM_CODES[item],
        title: FPI_TITLES[item],
      })),
    }
  return FORMS.get(code)
}

function questionOf(fact: string, { kind }: AnswerForm, of: { readonly side?: Side }): Message {
  const what = termOf(fact)
  const values = { what, ...of }
  if (kind === 'seen')
    return say(of.side === undefined ? 'information.seen' : 'information.seen-of-foot', values)
  if (kind === 'result')
    return together([say('information.found', values), say('information.result-form')])
  return say(of.side === undefined ? 'information.found' : 'information.found-of-foot', values)
}

function termOf(fact: string): Message {
  const [list = '', entry = ''] = fact.split('.')
  const milestone = MILESTONES.find((one) => one === entry)
  if (list === 'milestoneChecks' && milestone !== undefined) return say(`milestone.${milestone}`)
  const skill = DESCRIBED_SKILLS.find((one) => one === entry)
  if (list === 'skillChecks' && skill !== undefined) return say(`skill.${skill}`)
  return factTerm(list === 'signs' ? entry : list)
}

const BY_LINK = new Map(FACT_QUESTIONS.map((question) => [question.linkId, question]))

export const questionOfLink = (linkId: string): FactQuestion | undefined => BY_LINK.get(linkId)

/** The item that asks on which day something was first seen. */
export const firstSeenLink = (linkId: string): string => `${linkId}.first-seen`
