import type { Fault } from '../errors.ts'
import { isObject } from './element.ts'
import { parameterPlace, parameterRefused, sentParameters } from './sent-parameters.ts'

/** What `Patient/$match` was asked, before the Patient is checked. */
export interface PatientMatchParameters {
  readonly resource: unknown
  /** Where it stands, for its faults. */
  readonly resourceAt: string
  readonly onlyCertainMatches: boolean
  /** Undefined where none was sent. */
  readonly count: number | undefined
}

export type PatientMatchReading =
  | { readonly ok: true; readonly asked: PatientMatchParameters }
  | { readonly ok: false; readonly faults: readonly Fault[] }

type Pairs = readonly (readonly [string, string])[]

const NAMES = ['resource', 'onlyCertainMatches', 'count']

/**
 * The body is a Parameters resource, or the Patient itself with the simple parameters in the address (R4
 * 3.2.0.6.1).
 */
export function patientMatchParameters(inAddress: Pairs, body: unknown): PatientMatchReading {
  const { isParameters, given, resource, repeated } = sentParameters(body)
  const faults = repeated(NAMES)
  const simple = <T>({ name, element, read, form }: Simple<T>): T | undefined => {
    const text = inAddress.find(([key, found]) => key === name && found !== '')?.[1]
    const [parameter] = given(name)
    if (text === undefined && parameter === undefined) return undefined
    const sent = text ?? (isObject(parameter) ? parameter[element] : undefined)
    const value = read(String(sent))
    if (value !== undefined && (text !== undefined || typeof sent === typeof value)) return value
    const at = text === undefined ? `${parameterPlace(name)}.value` : `http.${name}`
    faults.push(parameterRefused(at, form))
    return undefined
  }
  const onlyCertainMatches = simple(ONLY_CERTAIN) ?? false
  const count = simple(COUNT)
  const resourceAt = !isParameters ? 'Patient' : `${parameterPlace('resource')}.resource`
  if (!isObject(resource) || resource['resourceType'] !== 'Patient')
    faults.push(parameterRefused(resourceAt, 'A Patient is needed, with what is known of it.'))
  if (faults.length > 0) return { ok: false, faults }
  return { ok: true, asked: { resource, resourceAt, onlyCertainMatches, count } }
}

interface Simple<T> {
  readonly name: string
  readonly element: string
  /** Undefined for what it cannot be. */
  readonly read: (text: string) => T | undefined
  readonly form: string
}

const ONLY_CERTAIN: Simple<boolean> = {
  name: 'onlyCertainMatches',
  element: 'valueBoolean',
  read: (text) => (text === 'true' ? true : text === 'false' ? false : undefined),
  form: 'onlyCertainMatches is true or false, as valueBoolean.',
}

const COUNT: Simple<number> = {
  name: 'count',
  element: 'valueInteger',
  read: (text) => (/^[1-9]\d{0,8}$/.test(text) ? Number(text) : undefined),
  form: 'count is a whole number of 1 or more, as valueInteger.',
}
