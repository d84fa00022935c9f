// Small questions about JSON as text.

export const MINUS = 0x2d
export const ZERO = 0x30
export const NINE = 0x39
const BACKSLASH = 0x5c

/** Is the quote at this place preceded by an odd number of backslashes? */
export function escaped(text: string, quote: number): boolean {
  let from = quote
  while (text.charCodeAt(from - 1) === BACKSLASH) from -= 1
  return (quote - from) % 2 === 1
}

export function unescaped(raw: string): string {
  try {
    const name: unknown = JSON.parse(`"${raw}"`)
    return typeof name === 'string' ? name : ''
  } catch {
    return ''
  }
}

export function isNumberChar(char: number): boolean {
  // Digits, `.`, `-`, `+`, `e`, `E`.
  return (
    (char >= ZERO && char <= NINE) ||
    char === 0x2e ||
    char === MINUS ||
    char === 0x2b ||
    char === 0x65 ||
    char === 0x45
  )
}
