/**
 * Makes the same of the same text, and remembers it for the texts that were asked for last.
 *
 * Only for what depends on nothing but the text: which text counts is asked anew each time.
 *
 * @param most how many are remembered
 */
export function remembered<T>(make: (text: string) => T, most: number): (text: string) => T {
  const made = new Map<string, { readonly value: T }>()
  return (text) => {
    const found = made.get(text) ?? { value: make(text) }
    // Taken out and put back, so that the first one is always the one asked for longest ago.
    made.delete(text)
    made.set(text, found)
    const [oldest] = made.keys()
    if (made.size > most && oldest !== undefined) made.delete(oldest)
    return found.value
  }
}
