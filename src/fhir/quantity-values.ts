import { DecimalText } from './decimal.ts'
import { isObject, type JsonObject } from './element.ts'
import type { QuantityValue } from './search-index.ts'
import { indexed } from './search-text.ts'

/** Beyond this many places a number is no measurement, and the database keeps no such index. */
const MOST_PLACES = 1000

/** A JSON number as decimal text; undefined for everything else, also for one out of all measure. */
export function decimalText(value: unknown): string | undefined {
  const text = value instanceof DecimalText ? value.text : undefined
  if (text === undefined) return typeof value === 'number' ? String(value) : undefined
  const exponent = Math.abs(Number(/e([+-]?\d+)$/i.exec(text)?.[1] ?? 0))
  return text.length > MOST_PLACES || exponent > MOST_PLACES ? undefined : text
}

const word = (value: unknown): string => (typeof value === 'string' ? indexed(value) : '')

function unitOf(quantity: JsonObject): Pick<QuantityValue, 'system' | 'code' | 'unit'> {
  // Money has a currency instead of a unit.
  if (typeof quantity['currency'] === 'string')
    return { system: 'urn:iso:std:iso:4217', code: word(quantity['currency']), unit: '' }
  return {
    system: word(quantity['system']),
    code: word(quantity['code']),
    unit: word(quantity['unit']),
  }
}

/** What a number, quantity, amount of money or range is found by. A comparator opens one end. */
export function quantitiesOf(path: string, value: unknown): QuantityValue[] {
  const number = decimalText(value)
  if (number !== undefined)
    return [{ path, low: number, high: number, system: '', code: '', unit: '' }]
  if (!isObject(value)) return []
  const { low, high } = value
  if (isObject(low) || isObject(high)) {
    const ends = { low: isObject(low) ? low : {}, high: isObject(high) ? high : {} }
    return [
      {
        path,
        low: decimalText(ends.low['value']) ?? '-Infinity',
        high: decimalText(ends.high['value']) ?? 'Infinity',
        ...unitOf(isObject(low) ? low : ends.high),
      },
    ]
  }
  const given = decimalText(value['value'])
  if (given === undefined) return []
  const comparator = word(value['comparator'])
  return [
    {
      path,
      low: comparator.startsWith('<') ? '-Infinity' : given,
      high: comparator.startsWith('>') ? 'Infinity' : given,
      ...unitOf(value),
    },
  ]
}
