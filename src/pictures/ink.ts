import { mark, type Mark } from './svg.ts'

/**
 * The colours of all pictures. They differ in lightness too, so that they stay apart in grey; what carries a
 * meaning has besides a shape, a dash, a hatch or a word of its own. Text is INK or MUTED: on white and on
 * PALE both have a contrast above 4.5:1.
 */
export const INK = '#1a1a1a'
export const MUTED = '#4d4d4d'
export const PAPER = '#ffffff'
/** What was seen of this child. */
export const CHILD = '#0b3d91'
/** What is foretold. */
export const AHEAD = '#a34700'
/** What a reference or a limit says. */
export const PALE = '#e3e8ef'
export const MIDDLE = '#b4c0d1'
export const RULE = '#8a94a3'

/** A hatch of lines from bottom left to top right: what may be and is not known. */
export function hatch(id: string, colour: string): Mark {
  const line = mark('path', {
    d: 'M-1 1L1 -1M0 6L6 0M5 7L7 5',
    stroke: colour,
    'stroke-width': 1.2,
  })
  const size = { width: 6, height: 6, patternUnits: 'userSpaceOnUse' }
  return mark('pattern', { id, ...size }, [line])
}
