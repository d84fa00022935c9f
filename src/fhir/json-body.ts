import type { Fault } from '../errors.ts'
import { DecimalText } from './decimal.ts'
import { type CarefulNumber, scanJson } from './json-scan.ts'

export type ParsedBody =
  | { readonly ok: true; readonly value: unknown }
  | {
      readonly ok: false
      readonly faults: readonly Fault[]
      /** Where nothing is wrong but that properties are given twice: with the last of each. */
      readonly readable?: unknown
    }

/**
 * The value a request body holds. Numbers that JavaScript would change are DecimalText in it.
 *
 * Refused: bytes that are not UTF-8, text that is not JSON, a property given twice (the parser
 * would silently keep the last), the property `__proto__`, and more levels, properties or items than the
 * limits.
 *
 * @param root what a fault's expression starts with where the body is no resource
 */
export function parseBody(bytes: Uint8Array, root = ''): ParsedBody {
  let text: string
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(bytes)
  } catch {
    return refused('json.encoding', 'The body is not valid UTF-8')
  }
  return parseText(text, root)
}

/** The same for text that has been decoded already, for instance a line of ndjson. */
export function parseText(text: string, root = ''): ParsedBody {
  const { faults, numbers, stopped } = scanJson(text, root)
  // The parser would take a nesting of any depth, and hold the process while it does.
  if (stopped) return { ok: false, faults }
  let value: unknown
  try {
    value = JSON.parse(text)
  } catch (error) {
    return refused('json.syntax', `The body is not valid JSON${positionIn(error)}`)
  }
  if (faults.length > 0)
    return faults.every(({ rule }) => rule === 'json.duplicate')
      ? { ok: false, faults, readable: withDigits(value, numbers) }
      : { ok: false, faults }
  return { ok: true, value: withDigits(value, numbers) }
}

function refused(rule: string, text: string): ParsedBody {
  const fault: Fault = { severity: 'error', code: 'structure', expression: '', rule, text }
  return { ok: false, faults: [fault] }
}

/** The parser's own message may quote what was sent; only its position may be repeated. */
function positionIn(error: unknown): string {
  const found = error instanceof Error ? /at position (\d+)/.exec(error.message) : null
  return found?.[1] === undefined ? '' : ` (near character ${found[1]})`
}

function withDigits(value: unknown, numbers: readonly CarefulNumber[]): unknown {
  const root = { value }
  for (const { path, text } of numbers) {
    let holder: unknown = root
    let key: string | number = 'value'
    for (const step of path) {
      holder = Reflect.get(Object(holder), key)
      key = step
    }
    Reflect.set(Object(holder), key, new DecimalText(text))
  }
  return root.value
}
