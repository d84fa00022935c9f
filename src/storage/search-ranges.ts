import type {
  DateCriterion,
  NumberCriterion,
  QuantityCriterion,
  StringCriterion,
} from '../fhir/search-filter.ts'
import type { SearchStatement } from './search-statement.ts'

// Range against range, R4 3.1.1.4.5. Beside each condition that alternatives split in two stands what
// follows from both of them: an index answers that.

/** `eq` means that the search range contains the value's range. */
export function dateCondition(
  sql: SearchStatement,
  { start, end }: { readonly start: string; readonly end: string },
  { prefix, from, to }: DateCriterion,
): string {
  const low = () => sql.value(from, 'timestamptz')
  const high = () => sql.value(to, 'timestamptz')
  switch (prefix) {
    case 'eq':
      return `(${start} >= ${low()} and ${start} < ${high()} and ${end} <= ${high()})`
    case 'ne':
      return `(${start} < ${low()} or ${end} > ${high()})`
    case 'gt':
      return `${end} > ${high()}`
    case 'lt':
      return `${start} < ${low()}`
    case 'ge':
      return `(${end} > ${low()} and (${start} >= ${low()} or ${end} > ${high()}))`
    case 'le':
      return `(${start} < ${high()} and (${start} < ${low()} or ${end} <= ${high()}))`
    case 'sa':
      return `${start} >= ${high()}`
    case 'eb':
      return `(${end} <= ${low()} and ${start} < ${low()})`
    case 'ap':
      return `(${start} < ${high()} and ${end} > ${low()})`
  }
}

/** An instant that is kept to the millisecond. */
export function instantCondition(
  sql: SearchStatement,
  column: string,
  { prefix, from, to }: DateCriterion,
): string {
  const low = () => sql.value(from, 'timestamptz')
  const high = () => sql.value(to, 'timestamptz')
  switch (prefix) {
    case 'eq':
    case 'ap':
      return `(${column} >= ${low()} and ${column} < ${high()})`
    case 'ne':
      return `(${column} < ${low()} or ${column} >= ${high()})`
    case 'gt':
    case 'sa':
      return `${column} >= ${high()}`
    case 'lt':
    case 'eb':
      return `${column} < ${low()}`
    case 'ge':
      return `${column} >= ${low()}`
    case 'le':
      return `${column} < ${high()}`
  }
}

const BOUND = 1e300
const SMALLEST = 1e-300

/** The nearest double of a decimal, as the columns `low_near` and `high_near` have it. */
function near(decimal: string): number {
  const value = Math.min(Math.max(Number(decimal), -BOUND), BOUND)
  return Math.abs(value) < SMALLEST ? 0 : value
}

/** More than the rounding of a quotient of doubles. */
const SLACK = 1e-14

/** A bound for what is multiplied before it is compared: on the safe side of the quotient. */
function nearQuotient(decimal: string, times: string, sign: string): number {
  const whole = near(decimal)
  const quotient = whole / Number(times)
  const slack = Math.abs(quotient) * SLACK
  // At the ends of what the columns hold, a bound that was cut off says less than it seems to.
  const bounds = [
    quotient,
    ...(Math.abs(whole) === BOUND ? [whole] : []),
    ...(Math.abs(quotient) < SMALLEST ? [0] : []),
  ]
  return sign === '>' ? Math.min(...bounds) - slack : Math.max(...bounds) + slack
}

/** The exact decimals decide; the doubles that may stand beside them are there for the index. */
export function numberCondition(
  sql: SearchStatement,
  { row, hasNear }: { readonly row: string; readonly hasNear: boolean },
  { prefix, value, from, to, times }: NumberCriterion & Pick<QuantityCriterion, 'times'>,
): string {
  const factor = times === undefined ? '' : ` * ${sql.value(times, 'numeric')}`
  const compare = (end: 'low' | 'high', sign: '<' | '<=' | '>' | '>=', decimal: string) =>
    `${row}.${end}${factor} ${sign} ${sql.value(decimal, 'numeric')}${hasNear ? nearby(end, sign, decimal) : ''}`
  const nearby = (end: 'low' | 'high', sign: string, decimal: string) => {
    const bound = times === undefined ? near(decimal) : nearQuotient(decimal, times, sign.charAt(0))
    return ` and ${row}.${end}_near ${sign.charAt(0)}= ${sql.value(bound, 'double precision')}`
  }
  switch (prefix) {
    case 'eq':
      return `(${compare('low', '>=', from)} and ${compare('low', '<', to)} and ${compare('high', '<', to)})`
    case 'ne':
      return `(${row}.low${factor} < ${sql.value(from, 'numeric')} or ${row}.high${factor} >= ${sql.value(to, 'numeric')})`
    case 'gt':
      return `(${compare('high', '>', value)})`
    case 'ge':
      return `(${compare('high', '>=', value)})`
    case 'lt':
      return `(${compare('low', '<', value)})`
    case 'le':
      return `(${compare('low', '<=', value)})`
    case 'sa':
      return `(${compare('low', '>', value)})`
    case 'eb':
      return `(${compare('high', '<', value)})`
    case 'ap':
      return `(${compare('low', '<=', to)} and ${compare('high', '>=', from)})`
  }
}

export function unitConditions(
  sql: SearchStatement,
  columns: { readonly system: string; readonly code: string; readonly unit: string },
  { system, code, codeOrUnit }: QuantityCriterion,
): string[] {
  return [
    ...(system === undefined ? [] : [`${columns.system} = ${sql.value(system)}`]),
    ...(code === undefined ? [] : [`${columns.code} = ${sql.value(code)}`]),
    ...(codeOrUnit === undefined
      ? []
      : [
          `(${columns.code} = ${sql.value(codeOrUnit)} or ${columns.unit} = ${sql.value(codeOrUnit)})`,
        ]),
  ]
}

/** LIKE is not for an index under row-level security; comparing by bytes is. */
export function prefixCondition(sql: SearchStatement, column: string, prefix: string): string {
  if (prefix === '') return 'true'
  const end = afterPrefix(prefix)
  const from = `${column} ~>=~ ${sql.value(prefix)}`
  return end === undefined ? from : `(${from} and ${column} ~<~ ${sql.value(end)})`
}

const LAST = 0x10_ff_ff
const SURROGATES = [0xd7_ff, 0xe0_00] as const

/** The first text after all that begin with the prefix; undefined when there is none. */
function afterPrefix(prefix: string): string | undefined {
  const points = Array.from(prefix, (one) => one.codePointAt(0) ?? 0)
  while (points.at(-1) === LAST) points.pop()
  const last = points.pop()
  if (last === undefined) return undefined
  return String.fromCodePoint(...points, last === SURROGATES[0] ? SURROGATES[1] : last + 1)
}

export function stringCondition(
  sql: SearchStatement,
  row: string,
  { match, folded, exact }: StringCriterion,
): string {
  switch (match) {
    case 'prefix':
      return prefixCondition(sql, `${row}.value`, folded)
    case 'exact':
      return `(${row}.value = ${sql.value(folded)} and ${row}.exact = ${sql.value(exact)})`
    case 'contains':
      return `${row}.value like ${sql.value(`%${folded.replaceAll(/[\\%_]/g, '\\$&')}%`)}`
  }
}
