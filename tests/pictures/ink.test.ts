import { expect, test } from 'vitest'
import { AHEAD, CHILD, INK, MIDDLE, MUTED, PALE, PAPER } from '../../src/pictures/ink.ts'

/** Relative luminance, WCAG 2.2. */
function luminance(colour: string): number {
  const parts = [1, 3, 5].map((at) => parseInt(colour.slice(at, at + 2), 16) / 255)
  const [red = 0, green = 0, blue = 0] = parts.map((part) =>
    part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4,
  )
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue
}

function contrast(one: string, other: string): number {
  const [dark = 0, light = 0] = [luminance(one), luminance(other)].toSorted((a, b) => a - b)
  return (light + 0.05) / (dark + 0.05)
}

// WCAG 2.2, 1.4.3: text; 1.4.11: what has to be seen to understand a graphic.
test.each([
  ['text', INK, PAPER],
  ['lesser text', MUTED, PAPER],
  ['text in a bar', PAPER, CHILD],
])('%s has a contrast of at least 4.5', (_name, text, ground) => {
  expect(contrast(text, ground)).toBeGreaterThanOrEqual(4.5)
})

test.each([
  ['the child on paper', CHILD, PAPER],
  ['the child on a window', CHILD, PALE],
  ['the child on the middle of a window', CHILD, MIDDLE],
  ['what is foretold on paper', AHEAD, PAPER],
  ['what is foretold on a window', AHEAD, PALE],
  ['what is foretold on the middle of a window', AHEAD, MIDDLE],
])('%s has a contrast of at least 3', (_name, shape, ground) => {
  expect(contrast(shape, ground)).toBeGreaterThanOrEqual(3)
})
