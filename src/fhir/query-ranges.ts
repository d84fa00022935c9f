import { Temporal } from 'temporal-polyfill'
import { SYSTEMS } from './codes.ts'
import { instantRange } from './date-range.ts'
import { timesDecimal } from './decimal-order.ts'
import { split, unescaped } from './query-values.ts'
import type { DateCriterion, NumberCriterion, Prefix, QuantityCriterion } from './search-filter.ts'
import { indexed } from './search-text.ts'
import { comparableUnits } from './ucum-factors.ts'

const PREFIXES: readonly Prefix[] = ['eq', 'ne', 'gt', 'lt', 'ge', 'le', 'sa', 'eb', 'ap']

/** R4 recommends a tenth: of the number, or of the time between the date and now (3.1.1.4.5). */
const APPROXIMATION = 0.1
const MINUTES = /T\d{2}:\d{2}/

function prefixed(text: string): readonly [Prefix, string] {
  const prefix = PREFIXES.find((known) => text.startsWith(known))
  return prefix === undefined ? ['eq', text] : [prefix, text.slice(2)]
}

/**
 * A date is the interval of its precision. Undefined when it is none.
 *
 * @param now ISO instant; `ap` takes a tenth of the time between it and the date, either way
 */
export function dateCriterion(text: string, now: string): DateCriterion | undefined {
  const [prefix, date] = prefixed(text)
  // A raw plus sign of a zone reaches us as a space.
  const range = instantRange(date.replace(/ (?=\d{2}:\d{2}$)/, '+'))
  if (range === undefined || (date.includes('T') && !MINUTES.test(date))) return undefined
  if (prefix !== 'ap') return { prefix, ...range }
  const [from, to] = [Date.parse(range.from), Date.parse(range.to)]
  const margin = Math.round(Math.abs(Date.parse(now) - from) * APPROXIMATION)
  return { prefix, from: instantText(from - margin), to: instantText(to + margin) }
}

const FIRST_MS = Date.parse('0001-01-01T00:00:00Z')
const LAST_MS = Date.parse('9999-12-31T23:59:59Z')
const instantText = (ms: number): string =>
  Temporal.Instant.fromEpochMilliseconds(Math.min(Math.max(ms, FIRST_MS), LAST_MS)).toString()

const NUMBER = /^([+-]?)(0|[1-9]\d{0,59})(?:\.(\d{1,60}))?(?:[eE]([+-]?\d{1,3}))?$/

/**
 * A number of a search. Its digits give a range: `100` from 99.5 up to, not including, 100.5. What is
 * stored counts as a point, so 99.5 is found by `100` and 100.5 is not (R4 3.1.1.4.6; the wording of
 * 3.1.1.4.5, range within range, would leave the edge out). No parameter of ours reads an element that takes
 * whole numbers only, which would be met exactly. Undefined when it is no number.
 */
export function numberCriterion(text: string): NumberCriterion | undefined {
  const [prefix, written] = prefixed(text)
  // A raw plus sign in an address reaches us as a space.
  const [, sign, whole, given = '', exponent = '0'] = NUMBER.exec(written.trim()) ?? []
  if (whole === undefined) return undefined
  // R4 gives `1e2` as 95 up to 105: one digit more than is written, where a power has no fraction.
  const fraction = given === '' && /e/i.test(written) ? '0' : given
  const digits = BigInt(`${sign === '-' ? '-' : ''}${whole}${fraction}`)
  const power = Number(exponent) - fraction.length
  const decimal = (value: bigint, below: number) => `${value}e${power - below}`
  const value = decimal(digits, 0)
  if (prefix !== 'ap')
    return {
      prefix,
      value,
      from: decimal(digits * 10n - 5n, 1),
      to: decimal(digits * 10n + 5n, 1),
    }
  const margin = digits < 0n ? -digits : digits
  return {
    prefix,
    value,
    from: decimal(digits * 10n - margin, 1),
    to: decimal(digits * 10n + margin, 1),
  }
}

/**
 * `5.4`, `5.4|system|code` or `5.4||code`, where the code may also be the unit (3.1.1.4.11). A UCUM unit that
 * we know also meets quantities in the other units of its dimension: there is a criterion for each of them.
 */
export function quantityCriteria(text: string): QuantityCriterion[] | undefined {
  const asked = quantityCriterion(text)
  if (asked === undefined) return undefined
  const units = asked.system === SYSTEMS.ucum ? comparableUnits(asked.code ?? '') : []
  if (units.length === 0) return [asked]
  return units.map(({ unit, times, own }) =>
    unit === asked.code
      ? asked
      : {
          ...asked,
          code: unit,
          value: timesDecimal(asked.value, own),
          from: timesDecimal(asked.from, own),
          to: timesDecimal(asked.to, own),
          ...(times === '1' ? {} : { times }),
        },
  )
}

function quantityCriterion(text: string): QuantityCriterion | undefined {
  const [number = '', system, code, ...rest] = split(text, '|')
  const given = numberCriterion(number)
  if (given === undefined || rest.length > 0 || (system !== undefined && code === undefined))
    return undefined
  const word = (part: string) => indexed(unescaped(part))
  if (system === undefined || code === undefined) return given
  if (system === '') return code === '' ? given : { ...given, codeOrUnit: word(code) }
  return { ...given, system: word(system), ...(code === '' ? {} : { code: word(code) }) }
}
