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

/** Letters that Unicode does not take apart, as they are written where a keyboard has none of them. */
const PLAIN: Readonly<Record<string, string>> = {
  ς: 'σ',
  ß: 'ss',
  ł: 'l',
  ø: 'o',
  đ: 'd',
  ħ: 'h',
  ŧ: 't',
  ı: 'i',
  æ: 'ae',
  œ: 'oe',
  ð: 'd',
  þ: 'th',
}
const NOT_PLAIN = new RegExp(`[${Object.keys(PLAIN).join('')}]`, 'gu')

/**
 * Lower case without accents: strings are compared so, by their beginning. What a text begins with, it
 * begins with here too; so the sigma at the end of a word is the one within a word.
 */
export function folded(text: string): string {
  if (ASCII.test(text)) return text.toLowerCase().slice(0, MAX_INDEXED_LENGTH)
  const letters = text.normalize('NFD').replaceAll(/\p{M}/gu, '').toLowerCase()
  return letters
    .replaceAll(NOT_PLAIN, (letter) => PLAIN[letter] ?? letter)
    .slice(0, MAX_INDEXED_LENGTH)
}

/** A hostile name must not fill the index. */
const MOST_PARTS = 8

/** A double name from its second part on, from its third on …: `Jones` of Smith-Jones. */
export const laterParts = (name: string): string[] =>
  [...name.matchAll(/(?<=[\s\p{Pd}])[^\s\p{Pd}]/gu)]
    .slice(0, MOST_PARTS)
    .map(({ index }) => name.slice(index))
