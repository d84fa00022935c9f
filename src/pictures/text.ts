import { INK } from './ink.ts'
import { mark, type Attributes, type Mark } from './svg.ts'

/** Nothing is smaller: at 360 px one unit is one CSS pixel. */
export const SMALL = 11
export const NORMAL = 12
export const LARGE = 15

/** Of the whole picture; which one is there is not known. */
export const FONT = { 'font-family': 'sans-serif' }

/** Widths as shares of the size, of the widest of the usual sans-serif fonts: which one is there is not known. */
const WIDTHS: readonly (readonly [RegExp, number])[] = [
  [/[iljI.,:;'|!¡]/, 0.34],
  [/[ ftr()\-/]/, 0.42],
  [/[mwMW%@—…]/, 0.99],
  [/[A-ZÁÉÍÓÚÑ+−<>=≥≤±]/, 0.79],
]
const OTHER = 0.64
const BOLD = 1.1

/** Of each character that was measured: pictures have thousands, of some hundred kinds. */
const SHARES = new Map<string, number>()

function shareOf(char: string): number {
  const measured = SHARES.get(char)
  if (measured !== undefined) return measured
  const share = WIDTHS.find(([of]) => of.test(char))?.[1] ?? OTHER
  if (SHARES.size < MOST_SHARES) SHARES.set(char, share)
  return share
}

/** More than any language of ours writes with, so that names from anywhere do not fill the memory. */
const MOST_SHARES = 1000

/** How wide a line is at most, in units of the drawing. */
export function textWidth(text: string, size: number, weight?: 'bold'): number {
  let sum = 0
  for (const char of text) sum += shareOf(char)
  return sum * size * (weight === 'bold' ? BOLD : 1)
}

/** The lines of a text that are no wider than the room; a word that is wider stands alone. */
export function linesOf(text: string, size: number, room: number, weight?: 'bold'): string[] {
  const lines: string[] = []
  for (const word of text.split(/ +/)) {
    const before = lines.at(-1)
    const longer = before === undefined ? word : `${before} ${word}`
    if (before !== undefined && textWidth(longer, size, weight) <= room)
      lines[lines.length - 1] = longer
    else lines.push(word)
  }
  return lines
}

export interface Place {
  readonly x: number
  readonly y: number
}

/** One line of text with its baseline at a place. */
export const label = (text: string, at: Place, more: Attributes = {}): Mark =>
  mark('text', { ...at, 'font-size': SMALL, fill: INK, ...more }, [text])
