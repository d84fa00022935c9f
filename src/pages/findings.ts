import { html } from 'ghtml'
import { FINDING_CODES } from '../fhir/finding-codes.ts'
import { codeIn, named, type Observation, titled, type Valued } from './answers.ts'
import { valueOf } from './values.ts'

/** What decides stands open at the top; the rest opens by itself when it is asked for. */
const DECIDING: readonly string[] = [FINDING_CODES.suitability.code, FINDING_CODES.urgency.code]

/** Each finding with its value and the sentences that say why. */
export function findingsOf(findings: readonly Observation[]): string {
  const first = findings.filter((one) => DECIDING.includes(codeIn(one.code) ?? ''))
  const others = findings.filter((one) => !first.includes(one))
  return html`<h2>Findings and reasons</h2>!${
    [
      ...first.map((one) => findingOf(one, true)),
      ...others.map((one) => findingOf(one, false)),
    ].join('\n') || '<p>Nothing was computed yet.</p>'
  }`
}

function findingOf(one: Observation, isOpen: boolean): string {
  const reasons = (one.note ?? []).map((note) => html`<li>${note.text}</li>`).join('')
  const components = (one.component ?? []).map(
    (part) => html`<div><dt>${titled(part.code)}</dt><dd>${answerOf(part)}</dd></div>`,
  )
  const value = valueOf(one)
  return html`<details!${isOpen ? ' open' : ''}><summary><h3>${nameOf(one)}</h3>!${
    value === '' ? '' : html`: ${value}`
  }</summary>!${reasons === '' ? '' : `<ul>${reasons}</ul>`}!${
    components.length === 0 ? '' : `<dl class="facts">${components.join('')}</dl>`
  }</details>`
}

/** What tells it from others of its kind is said with it: the foot, or the milestone. */
function nameOf({ code, bodySite, component = [] }: Observation): string {
  const milestone =
    codeIn(code) === FINDING_CODES.milestonePercentile.code ? component[0]?.code : undefined
  const which = titled(bodySite ?? milestone)
  return [named(code), which].filter((part) => part !== '').join(', ')
}

/** Whether a criterion holds stands before the sentence that says why. */
function answerOf(part: Valued): string {
  const value = valueOf(part)
  const short = titled(part.valueCodeableConcept)
  return short === '' || short === value ? value : `${short}. ${value}`
}
