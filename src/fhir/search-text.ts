import { createHash } from 'node:crypto'

/** The longest text that is compared as it is; an index entry of PostgreSQL has a limit. */
export const MAX_INDEXED_LENGTH = 256
const KEPT = 190

/**
 * A text as it is compared in a search. A long one is its beginning and a digest of the whole, so that
 * two of them are the same only when the texts are.
 */
export function indexed(text: string): string {
  if (text.length <= MAX_INDEXED_LENGTH) return text
  return `${text.slice(0, KEPT)}#${createHash('sha256').update(text).digest('hex')}`
}

// oxlint-disable-next-line no-control-regex
const ASCII = /^[\0-\x7f]*$/

/**
 * Lower case without accents: strings are compared so, by their beginning. What a text begins with, it
 * begins with here too; so the sigma at the end of a word is the one within a word. A sharp s is ss.
 */
export function folded(text: string): string {
  if (ASCII.test(text)) return text.toLowerCase().slice(0, MAX_INDEXED_LENGTH)
  const plain = text.normalize('NFD').replaceAll(/\p{M}/gu, '').toLowerCase()
  return plain.replaceAll('ς', 'σ').replaceAll('ß', 'ss').slice(0, MAX_INDEXED_LENGTH)
}
