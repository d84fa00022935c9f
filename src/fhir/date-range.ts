import { Temporal } from 'temporal-polyfill'

/** A FHIR date of any precision as the instants it spans: from inclusive, to exclusive. ISO in UTC. */
export interface InstantRange {
  readonly from: string
  readonly to: string
}

const OPEN_START = '0001-01-01T00:00:00Z'
const OPEN_END = '9999-12-31T23:59:59Z'

const PATTERN =
  /^(?!0000)(\d{4})(?:-(\d{2})(?:-(\d{2})(?:T(\d{2}):(\d{2})(?::(\d{2})(\.\d+)?)?(Z|[+-](?:(?:0\d|1[0-3]):[0-5]\d|14:00))?)?)?)?$/

/** The same few days occur in every record, and a calendar library takes its time. */
const KNOWN = new Map<string, InstantRange | undefined>()
const KNOWN_LIMIT = 2_000

/** The span of a date, dateTime or instant; undefined when it is not one. Without a zone it is UTC. */
export function instantRange(text: string): InstantRange | undefined {
  if (!KNOWN.has(text)) {
    if (KNOWN.size >= KNOWN_LIMIT) KNOWN.clear()
    KNOWN.set(text, spanOfText(text))
  }
  return KNOWN.get(text)
}

function spanOfText(text: string): InstantRange | undefined {
  const match = PATTERN.exec(text)
  if (match === null) return undefined
  const [, year = '', month, day, hour, minute, second, , zone] = match
  try {
    if (hour === undefined)
      return range(`${year}-${month ?? '01'}-${day ?? '01'}T00:00:00Z`, spanOf(month, day))
    const fraction = match[7]
    // A leap second is read as the second before it: PostgreSQL and Temporal have no 60.
    const seconds = second === '60' ? '59' : (second ?? '00')
    const start = `${year}-${month}-${day}T${hour}:${minute}:${seconds}${fraction ?? ''}${zone ?? 'Z'}`
    if (second === undefined) return range(start, { minutes: 1 })
    return range(start, fraction === undefined ? { seconds: 1 } : { milliseconds: 1 })
  } catch {
    return undefined
  }
}

/** A Period; an end that is not given is open. */
export function periodRange(start: unknown, end: unknown): InstantRange | undefined {
  const from = typeof start === 'string' ? instantRange(start)?.from : undefined
  const to = typeof end === 'string' ? instantRange(end)?.to : undefined
  if (from === undefined && to === undefined) return undefined
  return { from: from ?? OPEN_START, to: to ?? OPEN_END }
}

const spanOf = (month?: string, day?: string): Temporal.DurationLike => {
  if (month === undefined) return { years: 1 }
  return day === undefined ? { months: 1 } : { days: 1 }
}

function range(start: string, span: Temporal.DurationLike): InstantRange {
  const from = Temporal.Instant.from(start)
  const to = from.toZonedDateTimeISO('UTC').add(span).toInstant()
  return { from: withinYears(from), to: withinYears(to) }
}

const FIRST = Temporal.Instant.from(OPEN_START)
const LAST = Temporal.Instant.from(OPEN_END)

/** FHIR knows the years 0001 to 9999; beyond them the text of an instant is of another form. */
function withinYears(instant: Temporal.Instant): string {
  if (Temporal.Instant.compare(instant, FIRST) < 0) return OPEN_START
  return Temporal.Instant.compare(instant, LAST) > 0 ? OPEN_END : instant.toString()
}
