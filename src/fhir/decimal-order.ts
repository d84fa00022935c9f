const DECIMAL = /^([+-]?)(\d+)(?:\.(\d*))?(?:e([+-]?\d+))?$/i

interface Parts {
  /** All digits, as a whole number. */
  readonly digits: bigint
  /** The power of ten they are multiplied with. */
  readonly power: number
}

function partsOf(text: string): Parts {
  const [, sign, whole, fraction = '', exponent = '0'] = DECIMAL.exec(text) ?? []
  if (whole === undefined) throw new RangeError('A decimal is written with digits')
  return {
    digits: BigInt(`${sign === '-' ? '-' : ''}${whole}${fraction}`),
    power: Number(exponent) - fraction.length,
  }
}

const INFINITE: ReadonlyMap<string, number> = new Map([
  ['-Infinity', -1],
  ['Infinity', 1],
])

/** The product of two decimals, exactly; an end that is open stays open. */
export function timesDecimal(text: string, factor: string): string {
  if (INFINITE.has(text)) return text
  const [one, other] = [partsOf(text), partsOf(factor)]
  return `${one.digits * other.digits}e${one.power + other.power}`
}

/** Below zero when the first decimal is less than the second, zero when they are equal; no digit is lost. */
export function compareDecimals(a: string, b: string): number {
  const [first, second] = [INFINITE.get(a) ?? 0, INFINITE.get(b) ?? 0]
  if (first !== 0 || second !== 0) return first - second
  const [left, right] = [partsOf(a), partsOf(b)]
  const power = Math.min(left.power, right.power)
  const scaled = (parts: Parts) => parts.digits * 10n ** BigInt(parts.power - power)
  const difference = scaled(left) - scaled(right)
  return difference < 0n ? -1 : difference > 0n ? 1 : 0
}
