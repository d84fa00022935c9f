import { AppError, type Fault } from '../errors.ts'
import { ANSWER_FORM, type AskedParameter, INSTANT, namesOf, TEXT } from './asked-parameter.ts'
import { instantRange } from './date-range.ts'
import type { Handling } from './query-reading.ts'
import { rowOf } from './registry.ts'
import { compartmentParamsOf } from './search-params.ts'

export type ExportLevel = 'system' | 'patient' | 'group'

/** A bulk export as it was asked for (Bulk Data Access, STU 2). */
export interface ExportRequest {
  /** Empty: every type that may be had. */
  readonly types: readonly string[]
  /** ISO instant in UTC: only what was changed after it. */
  readonly since: string | undefined
  /** Searches of a type, `Observation?code=…`; several of one type are alternatives. */
  readonly filters: readonly string[]
  /** What was asked and is not offered; told in the manifest. */
  readonly ignored: readonly string[]
}

const FORMATS = ['application/fhir+ndjson', 'application/ndjson', 'ndjson']
const MOST_FILTERS = 20

/** What a kick-off is asked, beside how its refusal is written. */
export const EXPORT_PARAMETERS = {
  _type: {
    name: '_type',
    description: 'The types that are exported; all that may be had where none is named.',
    value: TEXT,
    several: 'commas',
  },
  _since: {
    name: '_since',
    description: 'Only what was changed after this instant; with its zone.',
    value: INSTANT,
  },
  _typeFilter: {
    name: '_typeFilter',
    description: `Searches of a type, Observation?code=…, ${MOST_FILTERS} at most; several of one type are alternatives.`,
    value: TEXT,
    several: 'repeated',
  },
  _outputFormat: {
    name: '_outputFormat',
    description: 'The form of the files; there is no other.',
    value: { type: 'string', enum: FORMATS },
  },
} as const satisfies Record<string, AskedParameter>
const FORM = namesOf(ANSWER_FORM)

type Pair = readonly [name: string, value: string]

/** Reads the parameters of a kick-off. Throws AppError with every fault. */
export function exportRequest(
  level: ExportLevel,
  pairs: readonly Pair[],
  handling: Handling,
): ExportRequest {
  const faults: Fault[] = []
  const types: string[] = []
  const filters: string[] = []
  const ignored: string[] = []
  let since: string | undefined
  for (const [name, value] of pairs) {
    if (value === '') continue
    if (name === EXPORT_PARAMETERS._outputFormat.name) readFormat(value, faults)
    else if (name === EXPORT_PARAMETERS._type.name) types.push(...value.split(','))
    else if (name === EXPORT_PARAMETERS._since.name) since = readSince(value, faults)
    else if (name === EXPORT_PARAMETERS._typeFilter.name) filters.push(...splitFilters(value))
    else if (!FORM.includes(name)) ignored.push(name)
  }
  const known = types.filter((type) => isExported(level, type))
  ignored.push(...types.filter((type) => !known.includes(type)).map((type) => `_type=${type}`))
  if (filters.length > MOST_FILTERS)
    faults.push(fault('_typeFilter', 'too-costly', `At most ${MOST_FILTERS} filters are taken.`))
  // R4's bulk data lets a server that does not know a parameter refuse, unless it is asked to be lenient.
  if (handling !== 'lenient')
    for (const one of ignored) {
      const [name = one, type] = one.split('=')
      faults.push(
        fault(name, 'not-supported', type === undefined ? NOT_OFFERED : notExported(type)),
      )
    }
  if (types.length > 0 && known.length === 0)
    faults.push(fault('_type', 'not-supported', 'None of these types can be exported here.'))
  if (faults.length > 0) throw new AppError('invalid-request', 'The export cannot be made.', faults)
  return { types: [...new Set(known)], since, filters, ignored }
}

const LEFT_OUT = 'With Prefer: handling=lenient it is left out, and the manifest says so.'
const NOT_OFFERED = `This is not offered. ${LEFT_OUT}`

/** The type is what somebody sent: only what can be one is said again. */
const notExported = (type: string): string =>
  `${/^[A-Za-z]{1,64}$/.test(type) ? type : 'This type'} cannot be exported here. ${LEFT_OUT}`

/** Is the type kept, and at the level of patients about one? */
export const isExported = (level: ExportLevel, type: string): boolean => {
  const row = rowOf(type)
  if (row === undefined || row.published === true) return false
  return level === 'system' || type === 'Patient' || compartmentParamsOf(type).length > 0
}

function readFormat(value: string, faults: Fault[]): void {
  // A raw plus sign in an address reaches us as a space.
  if (!FORMATS.includes(value.replace(' ', '+')))
    faults.push(fault('_outputFormat', 'not-supported', 'The files are application/fhir+ndjson.'))
}

function readSince(value: string, faults: Fault[]): string | undefined {
  const text = value.replace(/ (?=\d{2}:\d{2}$)/, '+')
  const isInstant = text.includes('T') && /(?:Z|[+-]\d{2}:\d{2})$/.test(text)
  const span = isInstant ? instantRange(text) : undefined
  if (span === undefined)
    faults.push(
      fault('_since', 'value', '_since is an instant with its zone, 2026-03-02T09:00:00Z.'),
    )
  return span?.from
}

/** Filters are separated by commas; so are the alternatives inside one, so a filter begins with its type. */
const splitFilters = (value: string): string[] => value.split(/,(?=[A-Z][A-Za-z]+\?)/)

const fault = (name: string, code: string, text: string): Fault => ({
  severity: 'error',
  code,
  expression: /^[_a-z]+$/i.test(name) ? `http.${name}` : 'http.query',
  rule: 'export-parameter',
  text,
})
