import { writeJson } from './decimal.ts'
import { isObject } from './element.ts'

/**
 * A patched resource without the text that was generated from what it said before: it could mislead
 * (R4 3.1.0.6). A text that the patch itself wrote stays, and so does one that people wrote.
 */
export function withoutStaleNarrative(before: unknown, after: unknown): unknown {
  if (!isObject(before) || !isObject(after)) return after
  const text = after['text']
  if (!isObject(text) || text['status'] !== 'generated') return after
  const same = Object.keys({ ...before, ...after }).every((name) => before[name] === after[name])
  if (same || writeJson(text) !== writeJson(before['text'])) return after
  const { text: _stale, ...rest } = after
  return rest
}
