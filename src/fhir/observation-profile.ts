import type { CivilDate } from '../domain/calendar.ts'
import type { Fault } from '../errors.ts'
import { SIDE_CODES, SYSTEMS } from './codes.ts'
import { FINDING_CODES } from './finding-codes.ts'
import { kindOf, type ObservationKind } from './observation-kinds.ts'
import type { Observation } from './r4/types.ts'
import { hasCode } from './reading.ts'

/** Codes of ours that only the service itself writes. */
const COMPUTED = new Set(Object.values(FINDING_CODES).map((code) => code.code))

export const profileFault = (
  expression: string,
  rule: string,
  text: string,
  code = 'business-rule',
): Fault => ({ severity: 'error', code, expression, rule, text })

/** Is it one of our findings? Its code says so, wherever it comes from. */
export const isComputed = ({ code }: Observation): boolean =>
  code.coding?.some(
    (coding) => coding.system === SYSTEMS.observation && COMPUTED.has(coding.code ?? ''),
  ) === true

/**
 * What we ask of an observation that rules read: one code of ours, the child, the day, the side where it
 * is of a foot, and a value that can be read. Other observations are kept as they are.
 */
export function observationFaults(
  observation: Observation,
  at: string,
  latestDay: CivilDate,
): Fault[] {
  const codings = observation.code.coding ?? []
  const ours = codings.filter(
    (coding) => coding.system === SYSTEMS.observation || kindOf(coding) !== undefined,
  )
  if (ours.length === 0) return []
  const [kind, ...others] = ours.flatMap((coding) => kindOf(coding) ?? [])
  if (isComputed(observation))
    return [
      codeFault(at, 'observation-computed', 'This finding is computed here and cannot be sent.'),
    ]
  if (kind === undefined || others.length > 0 || ours.length > 1)
    return [
      codeFault(
        at,
        'observation-code',
        ours.length > 1
          ? 'An observation has one code that rules read; send each fact by itself.'
          : `This is no code of ${SYSTEMS.observation}.`,
      ),
    ]
  return [
    ...subjectFaults(observation, at),
    ...dayFaults(observation, at, latestDay),
    ...sideFaults(observation, at, kind),
    ...valueFaults(observation, at, kind),
  ]
}

const codeFault = (at: string, rule: string, text: string): Fault =>
  profileFault(`${at}.code`, rule, text, 'code-invalid')

const subjectFaults = ({ subject }: Observation, at: string): Fault[] =>
  subject?.reference === undefined
    ? [
        profileFault(
          `${at}.subject`,
          'observation-subject',
          'A reference to the Patient is needed.',
          'required',
        ),
      ]
    : []

function dayFaults({ effectiveDateTime }: Observation, at: string, latestDay: CivilDate): Fault[] {
  const expression = `${at}.effectiveDateTime`
  const day = effectiveDateTime?.slice(0, 10) ?? ''
  if (!/^\d{4}-\d{2}-\d{2}$/.test(day)) {
    const text = 'The day of the observation is needed, with year, month and day.'
    return [profileFault(expression, 'observation-date', text, 'required')]
  }
  return day > latestDay
    ? [profileFault(expression, 'observation-date', 'The observation lies in the future.', 'value')]
    : []
}

function sideFaults({ bodySite }: Observation, at: string, { ofFoot }: ObservationKind): Fault[] {
  const sides = Object.values(SIDE_CODES).filter((side) => hasCode(bodySite, side))
  if (!ofFoot || sides.length === 1) return []
  const text = `One of left-foot and right-foot of ${SYSTEMS.side} is needed.`
  return [profileFault(`${at}.bodySite`, 'observation-side', text, 'required')]
}

function valueFaults(observation: Observation, at: string, kind: ObservationKind): Fault[] {
  if (observation.dataAbsentReason !== undefined) return []
  const reading = kind.read(observation)
  if (reading.ok) return []
  const text = `${reading.text.slice(0, 1).toUpperCase()}${reading.text.slice(1)}.`
  return [profileFault(`${at}.${reading.at}`, `observation-value.${kind.code.code}`, text, 'value')]
}
