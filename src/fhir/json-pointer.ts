import { isDecimal, writeJson } from './decimal.ts'
import { isObject, type JsonObject } from './element.ts'

const MAX_POINTER = 1024

/** RFC 6901; undefined for what is none, and for names that no element has. */
export function pointer(text: unknown): string[] | undefined {
  if (typeof text !== 'string' || text.length > MAX_POINTER || /~(?![01])/.test(text))
    return undefined
  if (text === '') return []
  if (!text.startsWith('/')) return undefined
  const steps = text
    .slice(1)
    .split('/')
    .map((step) => step.replaceAll('~1', '/').replaceAll('~0', '~'))
  return steps.some((step) => NO_ELEMENTS.includes(step)) ? undefined : steps
}

/** Names that objects have of their own, and elements never. */
const NO_ELEMENTS = ['__proto__', 'constructor', 'prototype']

/** Is it refused for one of these names alone? */
export const namesNoElement = (text: unknown): boolean =>
  typeof text === 'string' && text.split('/').some((step) => NO_ELEMENTS.includes(step))

/** Equal as JSON, whatever the order of members; a decimal by its digits. */
export const same = (one: unknown, other: unknown): boolean =>
  alike(one, other, (a, b) => writeJson(a) === writeJson(b))

/** Equal as a test operation has it (RFC 6902 4.6): numbers by their value, however many digits they carry. */
export const equal = (one: unknown, other: unknown): boolean =>
  alike(one, other, (a, b) =>
    isDecimal(a) && isDecimal(b)
      ? valueOf(writeJson(a)) === valueOf(writeJson(b))
      : writeJson(a) === writeJson(b),
  )

/** A number as its sign, its digits without zeros at either end, and the power of ten of the last. */
function valueOf(number: string): string {
  const [, sign = '', whole = '', fraction = '', exponent = '0'] =
    /^(-?)(\d+)(?:\.(\d+))?(?:[eE]([+-]?\d+))?$/.exec(number) ?? []
  const digits = `${whole}${fraction}`.replace(/^0+/, '')
  const significant = digits.slice(0, lengthWithoutZeros(digits))
  if (significant === '') return '0'
  const power = Number(exponent) - fraction.length + digits.length - significant.length
  return `${sign}${significant}e${power}`
}

/** A pattern for zeros at the end would begin anew at each zero that is followed by something else. */
function lengthWithoutZeros(digits: string): number {
  let length = digits.length
  while (digits.charAt(length - 1) === '0') length -= 1
  return length
}

function alike(
  one: unknown,
  other: unknown,
  leaf: (one: unknown, other: unknown) => boolean,
): boolean {
  if (Array.isArray(one) && Array.isArray(other))
    return (
      one.length === other.length && one.every((item, index) => alike(item, other[index], leaf))
    )
  if (isPlain(one) && isPlain(other)) {
    const names = Object.keys(one)
    return (
      names.length === Object.keys(other).length &&
      names.every((name) => Object.hasOwn(other, name) && alike(one[name], other[name], leaf))
    )
  }
  // What is not there has no text.
  if (one === undefined || other === undefined) return one === other
  return leaf(one, other)
}

/** What has members to compare; a decimal with digits is compared as the text that is written. */
const isPlain = (value: unknown): value is JsonObject =>
  isObject(value) && Object.getPrototypeOf(value) === Object.prototype
