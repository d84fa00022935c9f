import { z } from 'zod'
import type { Json } from './referral.ts'

// What search.html of R4 says that a parameter finds, of one resource at a time and without an index.

export interface Found {
  readonly place: string
  readonly resource: Json
  /** When this version was written, in ms. */
  readonly at: number
}

/** One parameter of a search. */
export interface Criterion {
  readonly name: string
  readonly modifier: 'not' | 'missing' | undefined
  /** Alternatives, unescaped. */
  readonly values: readonly string[]
}

interface Span {
  readonly from: number
  readonly to: number
}

/** R4 3.1.1.4.7: a date is the interval of its precision; without a zone it is UTC here. */
export function spanOf(text: string): Span {
  const [, year = '', month, day, time, seconds, fraction, zone = 'Z'] =
    /^(\d{4})(?:-(\d\d))?(?:-(\d\d))?(?:T(\d\d:\d\d)(:\d\d)?(\.\d+)?(Z|[+-]\d\d:\d\d)?)?$/.exec(
      text,
    ) ?? []
  const y = Number(year)
  const m = Number(month ?? '1') - 1
  const d = Number(day ?? '1')
  if (month === undefined) return { from: Date.UTC(y, 0, 1), to: Date.UTC(y + 1, 0, 1) }
  if (day === undefined) return { from: Date.UTC(y, m, 1), to: Date.UTC(y, m + 1, 1) }
  if (time === undefined) return { from: Date.UTC(y, m, d), to: Date.UTC(y, m, d + 1) }
  const from = Date.parse(
    `${year}-${month}-${day}T${time}${seconds ?? ':00'}${fraction ?? ''}${zone}`,
  )
  if (seconds === undefined) return { from, to: from + 60_000 }
  return { from, to: from + (fraction === undefined ? 1_000 : 1) }
}

/** R4 3.1.1.4.5, range against range. */
export function dateFits(text: string, value: Span, now: number): boolean {
  const [, prefix = 'eq', date = ''] = /^([a-z]{2})?(.+)$/.exec(text) ?? []
  const asked = spanOf(date)
  const isWithin = asked.from <= value.from && value.to <= asked.to
  const margin = Math.round(Math.abs(now - asked.from) / 10)
  switch (prefix) {
    case 'eq':
      return isWithin
    case 'ne':
      return !isWithin
    case 'gt':
      return value.to > asked.to
    case 'lt':
      return value.from < asked.from
    case 'ge':
      return value.to > asked.to || isWithin
    case 'le':
      return value.from < asked.from || isWithin
    case 'sa':
      return value.from >= asked.to
    case 'eb':
      return value.to <= asked.from
    case 'ap':
      return (
        value.from < asked.from + (asked.to - asked.from) + margin && value.to > asked.from - margin
      )
    default:
      throw new Error(`${prefix} is no prefix`)
  }
}

interface Token {
  readonly system?: string | undefined
  readonly code?: string | undefined
}

/** R4 3.1.1.4.10. */
export function tokenFits(text: string, { system, code }: Token): boolean {
  const [first = '', second] = text.split('|')
  if (second === undefined) return code === first
  if (first === '') return system === undefined && code === second
  return system === first && (second === '' || code === second)
}

const Shape = z.object({
  identifier: z.array(z.object({ system: z.string().optional(), value: z.string() })).optional(),
  code: z
    .object({
      coding: z.array(z.object({ system: z.string().optional(), code: z.string() })).optional(),
    })
    .optional(),
  status: z.string().optional(),
  birthDate: z.string().optional(),
  effectiveDateTime: z.string().optional(),
  effectivePeriod: z
    .object({ start: z.string().optional(), end: z.string().optional() })
    .optional(),
  partOf: z.object({ reference: z.string() }).optional(),
  managingOrganization: z.object({ reference: z.string() }).optional(),
  subject: z.object({ reference: z.string() }).optional(),
})

interface Values {
  readonly tokens?: readonly Token[]
  readonly dates?: readonly Span[]
  readonly references?: readonly string[]
}

/** What a parameter looks at. */
function valuesOf(name: string, { place, resource, at }: Found): Values {
  const shape = Shape.parse(resource)
  const one = (reference: { readonly reference: string } | undefined): Values => ({
    references: reference === undefined ? [] : [reference.reference],
  })
  switch (name) {
    case '_id':
      return { tokens: [{ code: place.split('/')[1] }] }
    case '_lastUpdated':
      return { dates: [{ from: at, to: at + 1 }] }
    case 'identifier':
      return {
        tokens: (shape.identifier ?? []).map(({ system, value }) => ({ system, code: value })),
      }
    case 'code':
      // A text alone is there too, but no token leads to it.
      return { tokens: shape.code?.coding ?? [{}] }
    case 'status':
      return { tokens: [{ code: shape.status }] }
    case 'birthdate':
      return { dates: shape.birthDate === undefined ? [] : [spanOf(shape.birthDate)] }
    case 'date':
      return { dates: effective(shape) }
    case 'partof':
      return one(shape.partOf)
    case 'organization':
      return one(shape.managingOrganization)
    case 'patient':
    case 'subject':
      return one(shape.subject)
    default:
      throw new Error(`${name} is no parameter`)
  }
}

function effective({ effectiveDateTime, effectivePeriod }: z.infer<typeof Shape>): Span[] {
  if (effectiveDateTime !== undefined) return [spanOf(effectiveDateTime)]
  if (effectivePeriod === undefined) return []
  const { start, end } = effectivePeriod
  return [
    {
      from: start === undefined ? -Infinity : spanOf(start).from,
      to: end === undefined ? Infinity : spanOf(end).to,
    },
  ]
}

/** Does the resource match all of a search? */
export const fits = (criteria: readonly Criterion[], found: Found, now: number): boolean =>
  criteria.every((criterion) => fitsOne(criterion, found, now))

function fitsOne({ name, modifier, values }: Criterion, found: Found, now: number): boolean {
  const { tokens = [], dates = [], references = [] } = valuesOf(name, found)
  if (modifier === 'missing')
    return values.includes(String(tokens.length + dates.length + references.length === 0))
  const isOne = values.some(
    (value) =>
      tokens.some((token) => tokenFits(value, token)) ||
      dates.some((date) => dateFits(value, date, now)) ||
      references.some((reference) => isSame(value, reference)),
  )
  return modifier === 'not' ? !isOne : isOne
}

/** R4 3.1.1.4.12: an id, a relative and an absolute reference are the same. */
const isSame = (asked: string, reference: string): boolean =>
  reference === asked || reference.endsWith(`/${asked}`) || asked.endsWith(`/fhir/${reference}`)

export const queryOf = (criteria: readonly Criterion[]): string =>
  criteria
    .map(({ name, modifier, values }) => {
      const key = modifier === undefined ? name : `${name}:${modifier}`
      return `${key}=${values.map(encodeURIComponent).join(',')}`
    })
    .join('&')
