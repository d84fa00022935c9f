/**
 * A JSON number that JavaScript would write differently than it was sent: `6.0`, `1.0e-3`,
 * `123456789012345678.9`. It stays in the tree in place of the number, so it keeps its digits
 * wherever the resource it belongs to is moved.
 */
export class DecimalText {
  readonly text: string

  constructor(text: string) {
    this.text = text
  }

  /** The plain JSON.stringify would lose the digits; writeJson catches this and writes them. */
  toJSON(): never {
    throw NEEDS_WRITER
  }
}

/** Made once: throwing it costs no stack trace. */
const NEEDS_WRITER = new Error('A decimal that carries its digits is written with writeJson')

export type Decimal = number | DecimalText

export function isDecimal(value: unknown): value is Decimal {
  return typeof value === 'number' || value instanceof DecimalText
}

/** The number to compute with. */
export function numberOf(value: Decimal): number {
  return typeof value === 'number' ? value : Number(value.text)
}

/** A number with exactly these digits, for instance `1.50`; throws where it is no JSON number. */
export function decimal(text: string): Decimal {
  if (!/^-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?$/.test(text))
    throw new RangeError('A decimal must be written as a JSON number')
  return survives(text) ? Number(text) : new DecimalText(text)
}

/** Does JSON.stringify give the number back with the same characters? */
export function survives(text: string): boolean {
  return String(Number(text)) === text
}

/** JSON text in which every number has the digits it was sent with. */
export function writeJson(value: unknown): string {
  try {
    return plainJson(value)
  } catch (error) {
    if (error !== NEEDS_WRITER) throw error
    return exactJson(value)
  }
}

function plainJson(value: unknown): string {
  const text: string | undefined = JSON.stringify(value)
  if (text === undefined) throw new TypeError('There is nothing to write as JSON')
  return text
}

function exactJson(value: unknown): string {
  if (value instanceof DecimalText) return value.text
  if (typeof value !== 'object' || value === null) return plainJson(value)
  if (Array.isArray(value)) {
    return `[${value.map((item) => (item === undefined ? 'null' : exactJson(item))).join(',')}]`
  }
  const members: string[] = []
  for (const [key, member] of Object.entries(value))
    if (member !== undefined) members.push(`${JSON.stringify(key)}:${exactJson(member)}`)
  return `{${members.join(',')}}`
}
