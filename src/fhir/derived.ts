import type { CivilDate } from '../domain/calendar.ts'
import type { Side } from '../domain/child.ts'
import type { Evidence } from '../domain/facts.ts'
import { type Message, say } from '../domain/messages/message.ts'
import type { Speaker } from '../domain/messages/speaker.ts'
import type { Picture } from '../pictures/picture.ts'
import type { Truth } from '../domain/truth.ts'
import {
  CANONICAL,
  type Code,
  SIDE_CODES,
  SYSTEMS,
  UNITS,
  type UnitName,
  VALUE_CODES,
} from './codes.ts'
import { FINDING_TITLES } from './finding-titles.ts'
import type {
  Annotation,
  CodeableConcept,
  Extension,
  Observation,
  ObservationComponent,
  Quantity,
} from './r4/types.ts'
import { rounded } from './reading.ts'
import { narrative, paragraph, picture } from './xhtml.ts'

/** What the derived resources of one triage have in common. */
export interface DerivedContext {
  /** The same role of the same computation has the same id, so that repeating it doubles nothing. */
  readonly idOf: (role: string) => string
  /** `Patient/1`. */
  readonly patient: string
  /** `ServiceRequest/1`. */
  readonly referral: string
  /** Every version that was read and may be named here, `Observation/1/_history/2`. */
  readonly inputs: readonly string[]
  /** What was read besides, and is not for whoever reads the results. */
  readonly unnamed?: readonly string[]
  readonly software: string
  /** In whose language the sentences are. */
  readonly speaker: Speaker
  /** For the narrative of a plan, or of the urgency. */
  readonly pictures?: readonly Picture[]
}

export const concept = (code: Code, text?: string): CodeableConcept => ({
  coding: [{ system: code.system, code: code.code, display: code.display }],
  ...(text === undefined ? {} : { text }),
})

export function quantity(value: number, unit: UnitName, digits = 1): Quantity {
  const { unit: name, code } = UNITS[unit]
  return { value: rounded(value, digits), unit: name, system: SYSTEMS.ucum, code }
}

const FAMILY_SENTENCE = `${CANONICAL}/StructureDefinition/family-sentence`

/** The sentence for the family, beside the therapist's wherever that stands. */
export const forFamily = ({ speaker }: Speaking, message: Message): Extension[] => [
  { url: FAMILY_SENTENCE, valueString: speaker.family(message) },
]

export type Speaking = Pick<DerivedContext, 'speaker'>

/** A note of one sentence in both voices. */
export const noteOf =
  (speaking: Speaking) =>
  (message: Message): Annotation => ({
    extension: forFamily(speaking, message),
    text: speaking.speaker.therapist(message),
  })

/** A component whose code or value carries the sentence of its finding. */
export const explained = (
  speaking: Speaking,
  message: Message,
  component: (text: string) => ObservationComponent,
): ObservationComponent => ({
  extension: forFamily(speaking, message),
  ...component(speaking.speaker.therapist(message)),
})

export const TRUTH_CODES: Readonly<Record<Truth, Code>> = {
  yes: VALUE_CODES.yes,
  no: VALUE_CODES.no,
  unknown: VALUE_CODES.unknown,
}

type Value = Pick<
  Observation,
  | 'valueQuantity'
  | 'valueCodeableConcept'
  | 'valueInteger'
  | 'valueRange'
  | 'valueString'
  | 'valueDateTime'
  | 'dataAbsentReason'
>

export interface FindingParts extends Value {
  readonly role: string
  readonly code: Code
  readonly asOf: CivilDate
  readonly because: readonly Message[]
  readonly evidence: readonly Evidence[]
  readonly side?: Side
  readonly components?: readonly ObservationComponent[]
  /** What shows the same as the elements, for the narrative. */
  readonly pictures?: readonly Picture[]
}

/** One computed finding. `derivedFrom` names the observations used; other inputs are in the Provenance. */
export function findingObservation(context: DerivedContext, parts: FindingParts): Observation {
  const { role, code, asOf, because, evidence, side, components = [], pictures, ...value } = parts
  const used = [...new Set<string>(evidence)].filter(
    (ref) => ref.startsWith('Observation/') && context.unnamed?.includes(ref) !== true,
  )
  return {
    resourceType: 'Observation',
    id: context.idOf(role),
    language: context.speaker.language,
    text: narrative(
      paragraph(titleOf(code, context)),
      ...because.map((message) => paragraph(context.speaker.therapist(message))),
      ...(pictures ?? []).map(picture),
    ),
    basedOn: [{ reference: context.referral }],
    status: 'final',
    category: [
      {
        coding: [{ system: SYSTEMS.observationCategory, code: 'exam', display: 'Exam' }],
      },
    ],
    code: concept(code),
    subject: { reference: context.patient },
    effectiveDateTime: asOf,
    ...value,
    ...(because.length === 0 ? {} : { note: because.map(noteOf(context)) }),
    ...(side === undefined ? {} : { bodySite: concept(SIDE_CODES[side]) }),
    ...(used.length === 0 ? {} : { derivedFrom: used.map((reference) => ({ reference })) }),
    ...(components.length === 0 ? {} : { component: components }),
  }
}

function titleOf(code: Code, { speaker }: Speaking): string {
  const title = FINDING_TITLES.get(code)
  return title === undefined ? code.display : speaker.therapist(say(title))
}

export const unknownReason: CodeableConcept = {
  coding: [{ system: SYSTEMS.dataAbsentReason, code: 'unknown', display: 'Unknown' }],
}

export const notApplicable: CodeableConcept = {
  coding: [{ system: SYSTEMS.dataAbsentReason, code: 'not-applicable', display: 'Not Applicable' }],
}
