import { Temporal } from 'temporal-polyfill'
import { type CivilDate, civilDate } from '../domain/calendar.ts'
import { type Language, LANGUAGES } from '../domain/messages/catalogues.ts'
import type { Fault } from '../errors.ts'
import { parameterPlace, parameterRefused } from './sent-parameters.ts'
import { isObject, valuesAt } from './element.ts'

/** What may be asked of an operation instead of how things stand now. */
export interface OperationParameters {
  /** The day for which the answer holds. */
  readonly asOf: CivilDate | undefined
  /** A rule set, by version or `id|version`. */
  readonly ruleSet: string | undefined
  /** A size chart, `id|version`. */
  readonly chart: string | undefined
  /** Of the sentences. */
  readonly language: Language | undefined
  /** The instant whose knowledge counts, ISO in UTC to the millisecond. */
  readonly knownAt: string | undefined
}

export type ParameterReading =
  | { readonly ok: true; readonly parameters: OperationParameters }
  | { readonly ok: false; readonly faults: readonly Fault[] }

export type Reading<T> =
  | { readonly ok: true; readonly value: T | undefined }
  | { readonly ok: false; readonly fault: Fault }

/** How a parameter is called, which element of a Parameters resource carries it, and how it is read. */
export interface ParameterRow<T> {
  readonly name: string
  readonly element: 'valueDate' | 'valueString' | 'valueInstant' | 'valueCode'
  readonly read: (text: string) => T
  readonly form: string
}

const AS_OF: ParameterRow<CivilDate> = {
  name: 'asOf',
  element: 'valueDate',
  read: civilDate,
  form: 'a date with year, month and day, YYYY-MM-DD',
}
const KNOWN_AT: ParameterRow<string> = {
  name: 'knownAt',
  element: 'valueInstant',
  // Versions are kept to the millisecond; what is finer is cut off.
  read: (text) => Temporal.Instant.from(text).toString({ smallestUnit: 'millisecond' }),
  form: 'an instant with its zone, YYYY-MM-DDThh:mm:ss.sssZ',
}
const RULE_SET: ParameterRow<string> = {
  name: 'ruleset',
  element: 'valueString',
  read: (text) => text,
  form: 'the version of a rule set, or id|version',
}
const CHART: ParameterRow<string> = {
  name: 'chart',
  element: 'valueString',
  read: (text) => text,
  form: 'id|version of a size chart',
}

const LANGUAGE: ParameterRow<Language> = {
  name: 'language',
  element: 'valueCode',
  read: languageOf,
  form: `one of ${LANGUAGES.join(', ')}`,
}

function languageOf(text: string): Language {
  const language = LANGUAGES.find((one) => one === text)
  if (language === undefined) throw new RangeError('no catalogue of this language')
  return language
}

export type InAddress = readonly (readonly [string, string])[]

/** The parameters of an operation, each from its address or else from a Parameters resource. */
export function operationParameters(inAddress: InAddress, body: unknown): ParameterReading {
  if (body !== undefined && (!isObject(body) || body['resourceType'] !== 'Parameters'))
    return {
      ok: false,
      faults: [
        parameterRefused(
          'Parameters',
          'The body of this operation is a Parameters resource, or empty.',
        ),
      ],
    }
  const sent = { inAddress, inBody: isObject(body) ? valuesAt(body, 'parameter') : [] }
  const asOf = readingOf(AS_OF, sent)
  const ruleSet = readingOf(RULE_SET, sent)
  const chart = readingOf(CHART, sent)
  const knownAt = readingOf(KNOWN_AT, sent)
  const language = readingOf(LANGUAGE, sent)
  if (asOf.ok && ruleSet.ok && chart.ok && knownAt.ok && language.ok)
    return {
      ok: true,
      parameters: {
        asOf: asOf.value,
        ruleSet: ruleSet.value,
        chart: chart.value,
        knownAt: knownAt.value,
        language: language.value,
      },
    }
  const faults = [asOf, ruleSet, chart, knownAt, language].flatMap((one) =>
    one.ok ? [] : [one.fault],
  )
  return { ok: false, faults }
}

/** One parameter, from its address or else from a Parameters resource. */
export function readingOf<T>(
  row: ParameterRow<T>,
  { inAddress, inBody }: { readonly inAddress: InAddress; readonly inBody: readonly unknown[] },
): Reading<T> {
  const text = inAddress.find(([name]) => name === row.name)?.[1]
  if (text !== undefined) return read(row, text, `http.${row.name}`)
  const parameter = inBody.find((one) => isObject(one) && one['name'] === row.name)
  if (!isObject(parameter)) return { ok: true, value: undefined }
  const place = `${parameterPlace(row.name)}.value`
  return read(row, parameter[row.element], place)
}

function read<T>(
  { name, read: readText, form }: ParameterRow<T>,
  value: unknown,
  at: string,
): Reading<T> {
  if (typeof value === 'string' && value !== '')
    try {
      return { ok: true, value: readText(value) }
    } catch {
      // Answered below, in the same words as a value of another kind.
    }
  return { ok: false, fault: parameterRefused(at, `${name} is ${form}.`) }
}
