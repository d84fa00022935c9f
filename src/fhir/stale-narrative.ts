import { isObject } from './element.ts'
import { same } from './json-pointer.ts'

/**
 * Narratives that say what the elements say: these alone, with extensions, or with something additional that
 * nobody can tell from the rest (narrative-status).
 */
const FROM_CONTENT: readonly unknown[] = ['generated', 'extensions', 'additional']

/**
 * A patched resource without the text that says what it said before: it could mislead (R4 3.1.0.6), and no
 * new one can be generated here. A text that the patch itself wrote stays.
 */
export function withoutStaleNarrative(before: unknown, after: unknown): unknown {
  if (!isObject(before) || !isObject(after)) return after
  const text = after['text']
  if (!isObject(text) || !FROM_CONTENT.includes(text['status'])) return after
  if (!same(text, before['text']) || same(before, after)) return after
  const { text: _stale, ...rest } = after
  return rest
}
