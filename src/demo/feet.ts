import { SIDES } from '../domain/child.ts'
import { ruleCode, SIDE_CODES } from '../fhir/codes.ts'
import { FINDING_CODES } from '../fhir/finding-codes.ts'
import { type ChildAnswers, componentOf, findingOf, type Observation } from './answers.ts'
import { sentence, wrapped } from './page.ts'

const INDENT = 9

/** How each foot stands, and whether it corrects; remarks stand in the finding. */
export function feet(answers: ChildAnswers): string[] {
  return SIDES.flatMap((side) => {
    const found = findingOf(answers, FINDING_CODES.footPosture, SIDE_CODES[side])
    const [because] = found?.note ?? []
    const flexible = componentOf(found, ruleCode(`flexible-foot.${side}`))?.valueCodeableConcept
    const said = [because, flexible].flatMap((one) => one?.text ?? [])
    return [...said, ...postureIndex(found)].flatMap((text, line) =>
      wrapped(sentence(text), { indent: INDENT, label: line === 0 ? `  ${title(side)}` : '' }),
    )
  })
}

function postureIndex(found: Observation | undefined): string[] {
  const sum = componentOf(found, FINDING_CODES.fpiSum)
  if (sum?.valueInteger !== undefined)
    return [
      `Foot Posture Index ${signed(sum.valueInteger)}.`,
      ...(sum.code.text === undefined ? [] : [sum.code.text]),
    ]
  const { low, high } = componentOf(found, FINDING_CODES.fpiRange)?.valueRange ?? {}
  return low === undefined || high === undefined
    ? []
    : [`Foot Posture Index between ${signed(low.value)} and ${signed(high.value)}`]
}

/** Which size, how it is cut and closed, and until when it fits. */
export function sizes(answers: ChildAnswers): string[] {
  return SIDES.flatMap((side) => {
    const found = findingOf(answers, FINDING_CODES.deviceSize, SIDE_CODES[side])
    const [because, ...notes] = found?.note ?? []
    const warnings = notes.filter(({ text }) => !/^Size \S+ was not chosen/.test(text))
    const lines = [
      `${found?.valueString ?? 'No size'}: ${because?.text ?? ''}`,
      ...cut(found),
      ...refit(found),
      ...warnings.map(({ text }) => text),
    ]
    return lines.flatMap((text, line) =>
      wrapped(sentence(text), { indent: INDENT, label: line === 0 ? `  ${title(side)}` : '' }),
    )
  })
}

function cut(found: Observation | undefined): string[] {
  if (found?.valueString === undefined) return []
  const millimetres = (code: { readonly code: string }) => {
    const value = componentOf(found, code)?.valueQuantity?.value
    return value === undefined ? 'not measured' : `${value} mm`
  }
  const medial = millimetres(FINDING_CODES.trimMedial)
  const lateral = millimetres(FINDING_CODES.trimLateral)
  return [
    `Trim: medial edge ${medial}, lateral edge ${lateral}; closure gap ${millimetres(FINDING_CODES.closureGap)}`,
  ]
}

function refit(found: Observation | undefined): string[] {
  const date = componentOf(found, FINDING_CODES.refitDate)?.valueDateTime
  if (date === undefined) return []
  const range = componentOf(found, FINDING_CODES.refitRange)?.valuePeriod
  const between =
    range === undefined ? '' : ` (80 % range ${range.start} to ${range.end ?? 'later'})`
  return [`Outgrown about ${date}${between}`]
}

const title = (side: string): string => `${side.slice(0, 1).toUpperCase()}${side.slice(1)}`
const signed = (value: number): string => (value > 0 ? `+${value}` : String(value))
