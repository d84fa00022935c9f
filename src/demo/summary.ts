import { CRITERIA, EXCLUSIONS } from '../domain/decision/decision.ts'
import { CONTRIBUTIONS } from '../domain/urgency/urgency.ts'
import { percent } from '../domain/messages/message.ts'
import { speaker } from '../domain/messages/speaker.ts'
import { ruleCode } from '../fhir/codes.ts'
import { FINDING_CODES } from '../fhir/finding-codes.ts'
import { MILESTONE_CODES } from '../fhir/observed-codes.ts'
import {
  type ChildAnswers,
  componentOf,
  displayOf,
  findingOf,
  isCoded,
  type Observation,
  type Value,
} from './answers.ts'
import { feet, sizes } from './feet.ts'
import { type Heading, sentence, wrapped } from './page.ts'

const LABEL = 23

/** What the service found about one child, for a therapist to read. */
export function childSummary(answers: ChildAnswers, heading: Heading): string[] {
  const { patient } = answers
  const [name] = patient.name
  return [
    heading(`${name?.text ?? ''}, born ${patient.birthDate}`),
    ...wrapped(sentence(`Age ${ageText(answers)}`)),
    '',
    heading('Milestones: age when attained, percentile in the WHO reference (high is late)'),
    ...milestones(answers),
    '',
    heading('Pace of gross motor development'),
    ...tempo(answers).flatMap((line) => wrapped(sentence(line))),
    '',
    heading('Feet'),
    ...feet(answers),
    '',
    ...suitability(answers, heading),
    '',
    ...urgency(answers, heading),
    '',
    heading('Size per foot, with the size chart'),
    ...sizes(answers),
  ]
}

/** "14.0 months (11.7 corrected)" */
export function ageText(answers: ChildAnswers): string {
  const born = monthsOf(findingOf(answers, FINDING_CODES.chronologicalAge))
  const corrected = monthsOf(findingOf(answers, FINDING_CODES.correctedAge))
  return corrected === undefined || corrected === born
    ? `${born} months`
    : `${born} months (${corrected} corrected)`
}

const monthsOf = (age: Observation | undefined): string | undefined =>
  age?.valueQuantity?.value.toFixed(1)

function milestones({ observations }: ChildAnswers): string[] {
  return Object.values(MILESTONE_CODES).flatMap((milestone) => {
    const found = observations.find((one) => componentOf(one, milestone) !== undefined)
    const [note] = found?.note ?? []
    if (note === undefined) return []
    const text = note.text
      .replace(/^Attained /, '')
      .replace(/ percentile of reference children: [^:]*\.$/, '')
    return wrapped(text, { indent: 29, label: `  ${milestone.display}` })
  })
}

function tempo(answers: ChildAnswers): string[] {
  const found = findingOf(answers, FINDING_CODES.tempo)
  const pace = found?.valueQuantity?.value
  if (found === undefined || pace === undefined) return [found?.note[0]?.text ?? 'Not known']
  const months = componentOf(found, FINDING_CODES.ageEquivalent)?.valueQuantity?.value
  const delay = componentOf(found, FINDING_CODES.milestoneDelay)?.valueQuantity?.value
  const chances = (answers.risk?.prediction ?? [])
    .filter(({ outcome }) => outcome.coding[0]?.code.startsWith('delay'))
    .map(({ outcome, probabilityDecimal }) => {
      const level = displayOf(outcome).replace('Delay of at least ', '')
      return `${level} or more: ${speaker('en').therapist(percent(probabilityDecimal))}`
    })
  return [
    `${pace.toFixed(2)} of the typical pace (90 % interval ${range(found, FINDING_CODES.tempoInterval, 2)}); age equivalent ${months?.toFixed(1)} months`,
    `Milestone delay ${delay?.toFixed(0)} % (90 % interval ${range(found, FINDING_CODES.milestoneDelayInterval, 0)} %)`,
    ...(chances.length === 0 ? [] : [`Probability of a delay of ${chances.join('; ')}`]),
  ]
}

function range(found: Observation, code: { readonly code: string }, digits: number): string {
  const { low, high } = componentOf(found, code)?.valueRange ?? {}
  return `${low?.value.toFixed(digits) ?? '?'} to ${high?.value.toFixed(digits) ?? '?'}`
}

function suitability(answers: ChildAnswers, heading: Heading): string[] {
  const found = findingOf(answers, FINDING_CODES.suitability)
  const [because, ...statements] = found?.note ?? []
  const rows = CRITERIA.map((id) => criterion(componentOf(found, ruleCode(id))))
  const exclusions = EXCLUSIONS.map((id) => ruleCode(id))
  const rules = [...CRITERIA, ...EXCLUSIONS].map((id) => ruleCode(id))
  const flags = (found?.component ?? []).filter(
    ({ code, valueCodeableConcept }) =>
      isAnswer(valueCodeableConcept) && !rules.some((rule) => isCoded(code, rule)),
  )
  const excluding = exclusions.flatMap((rule) => componentOf(found, rule) ?? [])
  return [
    heading(`Suitability: ${displayOf(found?.valueCodeableConcept).toUpperCase()}`),
    ...wrapped(sentence(because?.text ?? '')),
    ...rows.flat(),
    ...byAnswer('Exclusions', excluding),
    ...byAnswer('Red flags', flags),
    ...statements.flatMap(({ text }) => wrapped(sentence(text))),
  ]
}

const ANSWERS = [
  { code: 'yes', criterion: 'met', said: 'present' },
  { code: 'no', criterion: 'not met', said: 'looked for and absent' },
  { code: 'unknown', criterion: 'unknown', said: 'not known' },
] as const

const isAnswer = (concept: Value['valueCodeableConcept']): boolean =>
  ANSWERS.some((answer) => isCoded(concept, answer))

/** What is said of each foot stands with the feet. */
const OF_FEET = ['excessive-pronation', 'flexible-foot']

function criterion(found: Value | undefined): string[] {
  if (found === undefined) return []
  const name = displayOf(found.code)
  const answer = ANSWERS.find((one) => isCoded(found.valueCodeableConcept, one))
  const said = found.valueCodeableConcept?.text ?? ''
  const ofFeet = OF_FEET.some((code) => isCoded(found.code, { code }))
  const text = ofFeet ? 'see each foot above' : said.replace(new RegExp(`^${name}: `, 'i'), '')
  return wrapped(`${answer?.criterion ?? 'unknown'}: ${text}`, {
    indent: LABEL,
    label: `  ${name}`,
  })
}

function byAnswer(what: string, components: readonly Value[]): string[] {
  return ANSWERS.flatMap((answer) => {
    const names = components
      .filter(({ valueCodeableConcept }) => isCoded(valueCodeableConcept, answer))
      .map(({ code }) => displayOf(code))
    return names.length === 0 ? [] : wrapped(`${what} ${answer.said}: ${names.join(', ')}.`)
  })
}

function urgency(answers: ChildAnswers, heading: Heading): string[] {
  const found = findingOf(answers, FINDING_CODES.urgency)
  const { low, high } = componentOf(found, FINDING_CODES.urgencyRange)?.valueRange ?? {}
  const open =
    low?.value === high?.value
      ? 'nothing unknown could change it'
      : `${low?.value} to ${high?.value} once all is known`
  const { priority, restriction } = answers.task
  return [
    heading(`Urgency: ${score(answers)} of 100, ${priority}`),
    ...wrapped(sentence(`To be seen by ${restriction.period.end}; ${open}`)),
    ...CONTRIBUTIONS.flatMap((id) => contribution(found, componentOf(found, ruleCode(id)))),
  ]
}

export const score = (answers: ChildAnswers): string =>
  findingOf(answers, FINDING_CODES.urgency)?.valueQuantity?.value.toFixed(1) ?? 'not known'

/** The note of a contribution begins with its points and their maximum. */
function contribution(found: Observation | undefined, part: Value | undefined): string[] {
  const because = part?.code.text
  if (part === undefined || because === undefined) return []
  const note = found?.note.find(({ text }) => text.endsWith(because))?.text ?? ''
  const points = /^[\d.]+ of \d+/.exec(note)?.[0] ?? String(part.valueQuantity?.value)
  const text = isCoded(part.code, { code: 'motor-delay' })
    ? 'from the delay and its interval above'
    : because
  const label = `  ${displayOf(part.code)}`
  return wrapped(`${points}: ${text}`, { indent: LABEL, label })
}
