import { evaluate, types } from 'fhirpath'
import r4 from 'fhirpath/fhir-context/r4'

// What R4 3.1.1.4 says a value of a data type is searched by, typed from the tables of that page. Nothing
// here is of src: it is what the extraction is compared with.

type Data = Readonly<Record<string, unknown>>

interface Found {
  readonly type: string
  readonly data: unknown
}

const isData = (value: unknown): value is Data =>
  typeof value === 'object' && value !== null && !Array.isArray(value)
const list = (value: unknown): unknown[] => (Array.isArray(value) ? (value as unknown[]) : [])
const word = (value: unknown): string => (typeof value === 'string' ? value : '')
const member = (value: unknown, name: string): unknown => (isData(value) ? value[name] : undefined)

/** `as` of a collection is `ofType` (R4 means it so); `resolve()` goes by what a reference says. */
export const runnable = (expression: string): string =>
  expression
    .replaceAll(/\(([\w.]+) as (\w+)\)/g, '$1.ofType($2)')
    .replaceAll(/\.as\((\w+)\)/g, '.ofType($1)')
    .replaceAll('ofType(DateTime)', 'ofType(dateTime)')
    .replaceAll(/where\(resolve\(\) is (\w+)\)/g, "where(reference.matches('^$1/'))")

/** What an expression finds below a resource or, with its place, below an element. */
export function found(from: unknown, expression: string, base?: string): Found[] {
  // One by one: the union of FHIRPath holds numbers that differ far behind the point for the same.
  const paths = runnable(expression).split('|')
  const nodes = paths.flatMap((path): unknown[] =>
    evaluate(
      structuredClone(from),
      base === undefined ? path : { base, expression: path },
      undefined,
      r4,
      { resolveInternalTypes: false },
    ),
  )
  return nodes.map((node) => ({
    type: (types([node])[0] ?? '').replace(/^(?:FHIR|System)\./, ''),
    data: isData(node) && 'data' in node ? node['data'] : node,
  }))
}

/** A long text is compared by its beginning. */
export const short = (text: string): string => (text.length > 256 ? text.slice(0, 190) : text)

const pair = (system: unknown, code: unknown): string[] =>
  word(system) === '' && word(code) === '' ? [] : [`${short(word(system))}|${short(word(code))}`]

/** Where nothing is known about case, codes are compared without it (3.1.1.4.10). */
function coding(system: unknown, code: unknown): string[] {
  const knowsCase = [
    word(system).startsWith('http://hl7.org/fhir/') && !word(system).includes('/sid/'),
    word(system).startsWith('http://terminology.hl7.org/CodeSystem/') &&
      !word(system).includes('/v2-'),
    word(system).startsWith('https://footing.example/fhir/'),
    word(system) === 'http://unitsofmeasure.org',
  ]
  return pair(system, knowsCase.includes(true) ? code : word(code).toLowerCase())
}

export function tokens({ type, data }: Found): string[] {
  switch (type) {
    case 'CodeableConcept':
      return list(member(data, 'coding')).flatMap((one) =>
        coding(member(one, 'system'), member(one, 'code')),
      )
    case 'Coding':
      return coding(member(data, 'system'), member(data, 'code'))
    case 'Identifier':
      return pair(member(data, 'system'), member(data, 'value'))
    case 'ContactPoint':
      return coding('', member(data, 'value'))
    case 'boolean':
      return [`|${String(data)}`]
    case 'code':
    case 'string':
    case 'id':
    case 'uri':
      return pair('', data)
    default:
      return []
  }
}

/** A reference within the service, by a URL elsewhere, or by an identifier; of a canonical by both. */
export function references({ type, data }: Found): string[] {
  const isUrl = type === 'canonical' || type === 'uri'
  if (!isUrl && type !== 'Reference') return []
  const literal = word(isUrl ? data : member(data, 'reference'))
  const [, own] = /^([A-Z]\w+\/[\w.-]+)(?:\/_history\/[\w.-]+)?$/.exec(literal) ?? []
  if (isUrl) return [url(literal), ...(own === undefined ? [] : [own])]
  const identifier = tokens({ type: 'Identifier', data: member(data, 'identifier') })
  return [own ?? url(literal), ...identifier.map((one) => `identifier ${one}`)]
}

const url = (text: string): string => {
  const [address = '', version = ''] = text.split('|')
  return `${short(address)}|${version}`
}

const PARTS: Readonly<Record<string, readonly string[]>> = {
  HumanName: ['family', 'given', 'prefix', 'suffix', 'text'],
  Address: ['line', 'city', 'district', 'state', 'postalCode', 'country', 'text'],
}

export function strings({ type, data }: Found): string[] {
  const parts = PARTS[type]
  if (parts !== undefined)
    return parts
      .flatMap((name) => [member(data, name)].flat().map(word))
      .filter((one) => one !== '')
  return type === 'string' || type === 'markdown' ? [short(word(data))] : []
}

export const uris = ({ type, data }: Found): string[] =>
  type === 'canonical'
    ? [url(word(data))]
    : type === 'uri' || type === 'url'
      ? [`${short(word(data))}|`]
      : []

export const numbers = ({ type, data }: Found): string[] =>
  ['integer', 'decimal', 'positiveInt', 'unsignedInt'].includes(type)
    ? [`${Number(data)} ${Number(data)}   `]
    : []

export function quantities({ type, data }: Found): string[] {
  const unit = (of: unknown) =>
    ['system', 'code', 'unit'].map((name) => word(member(of, name))).join(' ')
  if (type === 'Range') {
    const [low, high] = [member(data, 'low'), member(data, 'high')]
    const from = member(low, 'value') ?? -Infinity
    const to = member(high, 'value') ?? Infinity
    return [`${Number(from)} ${Number(to)} ${unit(low ?? high)}`]
  }
  if (!/Quantity|Age|Duration|Count|Distance/.test(type)) return []
  const value = member(data, 'value')
  if (typeof value !== 'number') return []
  const comparator = word(member(data, 'comparator'))
  const low = comparator.startsWith('<') ? -Infinity : value
  const high = comparator.startsWith('>') ? Infinity : value
  return [`${low} ${high} ${unit(data)}`]
}

const FIRST = Date.parse('0001-01-01T00:00:00Z')
const LAST = Date.parse('9999-12-31T23:59:59Z')

type Span = readonly [from: number, to: number]

/** R4 3.1.1.4.7: a date is the interval of its precision. */
function span(text: string): Span | undefined {
  const [, y = '', m, d, time] = /^(\d{4})(?:-(\d\d)(?:-(\d\d)(T.*)?)?)?$/.exec(text) ?? []
  if (y === '') return undefined
  const [year, month, day] = [Number(y), Number(m ?? 1) - 1, Number(d ?? 1)]
  if (time !== undefined) {
    const from = Date.parse(text)
    return [from, from + (text.includes('.') ? 1 : 1_000)]
  }
  const from = Date.UTC(year, month, day)
  if (m === undefined) return [from, Date.UTC(year + 1, 0, 1)]
  return [from, d === undefined ? Date.UTC(year, month + 1, 1) : Date.UTC(year, month, day + 1)]
}

function periodSpan(period: unknown): Span | undefined {
  const start = span(word(member(period, 'start')))
  const end = span(word(member(period, 'end')))
  return start === undefined && end === undefined
    ? undefined
    : [start?.[0] ?? FIRST, end?.[1] ?? LAST]
}

export function dates({ type, data }: Found): string[] {
  const spans =
    type === 'Period'
      ? [periodSpan(data)]
      : type === 'Timing'
        ? [
            ...list(member(data, 'event')).map((one) => span(word(one))),
            periodSpan(member(member(data, 'repeat'), 'boundsPeriod')),
          ]
        : ['date', 'dateTime', 'instant'].includes(type)
          ? [span(word(data))]
          : []
  const known = spans.filter((one) => one !== undefined)
  if (known.length === 0) return []
  return [`${Math.min(...known.map(([from]) => from))} ${Math.max(...known.map(([, to]) => to))}`]
}
