import { CRITERIA, EXCLUSIONS } from '../domain/decision/decision.ts'
import { ruleCode } from '../fhir/codes.ts'
import { FINDING_CODES } from '../fhir/finding-codes.ts'
import {
  type ChildAnswers,
  componentOf,
  displayOf,
  findingOf,
  isCoded,
  type Observation,
} from './answers.ts'
import { type Heading, sentence, wrapped } from './page.ts'
import { ageText, score } from './summary.ts'

/** One child in short: outcome, priority, why, and what is missing or comes next. */
export function outcomeInShort(answers: ChildAnswers, heading: Heading): string[] {
  const { patient, task } = answers
  const found = findingOf(answers, FINDING_CODES.suitability)
  const outcome = displayOf(found?.valueCodeableConcept).toUpperCase()
  const said = [
    ...(found?.note ?? []).map(({ text }) => text),
    ...deciding(found),
    ...missing(found),
  ]
  return [
    heading(`${patient.name[0]?.text ?? ''}, ${ageText(answers)}`),
    `  ${outcome}, ${task.priority} (urgency ${score(answers)} of 100)`,
    ...said.flatMap((text) => wrapped(sentence(text))),
  ]
}

/** Why: the exclusions that hold, else the criteria that are not met. */
function deciding(found: Observation | undefined): string[] {
  const reasons = (ids: readonly string[], answer: string) =>
    ids.flatMap((id) => {
      const said = componentOf(found, ruleCode(id))?.valueCodeableConcept
      return isCoded(said, { code: answer }) ? [said?.text ?? ''] : []
    })
  const excluded = reasons(EXCLUSIONS, 'yes')
  return excluded.length > 0 ? excluded : reasons(CRITERIA, 'no')
}

/** The observations that would decide, each once with the feet it is missing for. */
function missing(found: Observation | undefined): string[] {
  const sides = new Map<string, string[]>()
  for (const { code, valueCodeableConcept } of found?.component ?? []) {
    if (!isCoded(code, FINDING_CODES.missing)) continue
    const [what, side] = valueCodeableConcept?.coding ?? []
    if (what === undefined) continue
    const named = sides.get(what.display) ?? []
    sides.set(what.display, side === undefined ? named : [...named, side.display.toLowerCase()])
  }
  if (sides.size === 0) return []
  const names = [...sides].map(([display, of]) => {
    const what = `${display.slice(0, 1).toLowerCase()}${display.slice(1)}`
    return of.length === 0 ? what : `${what} (${of.join(', ')})`
  })
  return [`Missing, most decisive first: ${names.join('; ')}`]
}
