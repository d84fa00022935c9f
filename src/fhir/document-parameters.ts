import type { Fault } from '../errors.ts'
import { DOCUMENT_KINDS, type DocumentKind } from './document-codes.ts'
import { isObject, valuesAt } from './element.ts'
import { ownTarget } from './literal-reference.ts'
import {
  type InAddress,
  type ParameterRow,
  type Reading,
  readingOf,
} from './operation-parameters.ts'

/** Paper of the two parts of the world. */
export const PAPER_SIZES = ['A4', 'LETTER'] as const
export type PaperSize = (typeof PAPER_SIZES)[number]

export interface DocumentParameters {
  readonly kind: DocumentKind
  readonly paper: PaperSize
}

export interface SignOffParameters extends DocumentParameters {
  /** A Practitioner or PractitionerRole of ours. */
  readonly person: { readonly type: 'Practitioner' | 'PractitionerRole'; readonly id: string }
  /** May the partner have the sheet for the family? The reply it has in any case. */
  readonly release: boolean
}

export type DocumentReading<T> =
  | { readonly ok: true; readonly parameters: T }
  | { readonly ok: false; readonly faults: readonly Fault[] }

const oneOf = <T extends string>(values: readonly T[], text: string): T => {
  const found = values.find((value) => value === text)
  if (found === undefined) throw new RangeError('no such value')
  return found
}

const KIND: ParameterRow<DocumentKind> = {
  name: 'kind',
  element: 'valueCode',
  read: (text) => oneOf(DOCUMENT_KINDS, text),
  form: `one of ${DOCUMENT_KINDS.join(', ')}`,
}
const PAPER: ParameterRow<PaperSize> = {
  name: 'paper',
  element: 'valueCode',
  read: (text) => oneOf(PAPER_SIZES, text.toUpperCase()),
  form: `one of ${PAPER_SIZES.join(', ')}`,
}
const RELEASE: ParameterRow<boolean> = {
  name: 'release',
  element: 'valueCode',
  read: (text) => oneOf(['true', 'false'], text) === 'true',
  form: 'true or false',
}
const PERSON: ParameterRow<string> = {
  name: 'person',
  element: 'valueString',
  read: (text) => text,
  form: 'a reference to a Practitioner or a PractitionerRole of the clinic',
}

/** Which document is wanted, on which paper. The kind has to be said. */
export function documentParameters(
  inAddress: InAddress,
  body: unknown,
): DocumentReading<DocumentParameters> {
  const sent = { inAddress, inBody: isObject(body) ? valuesAt(body, 'parameter') : [] }
  const kind = required(readingOf(KIND, sent), KIND)
  const paper = readingOf(PAPER, sent)
  if (kind.ok && paper.ok)
    return { ok: true, parameters: { kind: kind.value, paper: paper.value ?? 'A4' } }
  return { ok: false, faults: faultsOf(kind, paper) }
}

/** Which document is signed off, and by whom. */
export function signOffParameters(
  inAddress: InAddress,
  body: unknown,
  baseUrl: string,
): DocumentReading<SignOffParameters> {
  const inBody = isObject(body) ? valuesAt(body, 'parameter').map(asText) : []
  const sent = { inAddress, inBody }
  const wanted = documentParameters(inAddress, body)
  const person = targetOf(required(readingOf(PERSON, sent), PERSON), baseUrl)
  const release = readingOf(RELEASE, sent)
  if (wanted.ok && person.ok && release.ok)
    return {
      ok: true,
      parameters: {
        ...wanted.parameters,
        person: person.value,
        release: release.value ?? false,
      },
    }
  return { ok: false, faults: [...(wanted.ok ? [] : wanted.faults), ...faultsOf(person, release)] }
}

/** A reference and a boolean of a Parameters resource, as an address would say them. */
function asText(parameter: unknown): unknown {
  if (!isObject(parameter)) return parameter
  const { valueReference, valueBoolean } = parameter
  const reference = isObject(valueReference) ? valueReference['reference'] : undefined
  return {
    ...parameter,
    ...(typeof reference === 'string' ? { valueString: reference } : {}),
    ...(typeof valueBoolean === 'boolean' ? { valueCode: String(valueBoolean) } : {}),
  }
}

type Required<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly fault: Fault }

function required<T>(reading: Reading<T>, { name, form }: ParameterRow<T>): Required<T> {
  if (!reading.ok) return reading
  if (reading.value !== undefined) return { ok: true, value: reading.value }
  return { ok: false, fault: fault(name, 'required', `${name} is needed: ${form}.`) }
}

function targetOf(
  reading: Required<string>,
  baseUrl: string,
): Required<SignOffParameters['person']> {
  if (!reading.ok) return reading
  const target = ownTarget(reading.value, baseUrl)
  if (target?.type === 'Practitioner' || target?.type === 'PractitionerRole')
    return { ok: true, value: { type: target.type, id: target.id } }
  return { ok: false, fault: fault('person', 'value', `person is ${PERSON.form}.`) }
}

const faultsOf = (
  ...readings: readonly ({ readonly ok: true } | { readonly ok: false; readonly fault: Fault })[]
) => readings.flatMap((one) => (one.ok ? [] : [one.fault]))

const fault = (name: string, code: string, text: string): Fault => ({
  severity: 'error',
  code,
  expression: `http.${name}`,
  rule: 'operation-parameter',
  text,
})
