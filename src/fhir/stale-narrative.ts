import { isObject } from './element.ts'
import { same } from './json-pointer.ts'

/** Narratives that say nothing but what the elements, or these and extensions, say (narrative-status). */
const FROM_CONTENT: readonly unknown[] = ['generated', 'extensions']

/**
 * A patched resource without the text that was generated from what it said before: it could mislead
 * (R4 3.1.0.6). A text that the patch itself wrote stays, and so does one that people wrote.
 */
export function withoutStaleNarrative(before: unknown, after: unknown): unknown {
  if (!isObject(before) || !isObject(after)) return after
  const text = after['text']
  if (!isObject(text) || !FROM_CONTENT.includes(text['status'])) return after
  if (!same(text, before['text']) || same(before, after)) return after
  const { text: _stale, ...rest } = after
  return rest
}
