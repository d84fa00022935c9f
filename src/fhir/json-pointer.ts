import { writeJson } from './decimal.ts'
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
  return steps.some(
    (step) => step === '__proto__' || step === 'constructor' || step === 'prototype',
  )
    ? undefined
    : steps
}

/** Equal as JSON, whatever the order of members (RFC 6902 4.6); a decimal by its digits. */
export function same(one: unknown, other: unknown): boolean {
  if (Array.isArray(one) && Array.isArray(other))
    return one.length === other.length && one.every((item, index) => same(item, other[index]))
  if (isPlain(one) && isPlain(other)) {
    const names = Object.keys(one)
    return (
      names.length === Object.keys(other).length &&
      names.every((name) => Object.hasOwn(other, name) && same(one[name], other[name]))
    )
  }
  // What is not there has no text.
  if (one === undefined || other === undefined) return one === other
  return writeJson(one) === writeJson(other)
}

/** What has members to compare; a decimal with digits is compared as the text that is written. */
const isPlain = (value: unknown): value is JsonObject =>
  isObject(value) && Object.getPrototypeOf(value) === Object.prototype
