/** To one decimal place, without a trailing zero: 5.25 is "5.3", 6 is "6". Only for sentences. */
export const tenths = (value: number): string => String(Math.round(value * 10) / 10)

/** A probability from 0 to 1 in percent. It is never certain: "over 99.9 %", "under 0.1 %", else "42.5 %". */
export function percentText(probability: number): string {
  const percent = tenths(probability * 100)
  if (percent === '100') return 'over 99.9 %'
  return percent === '0' ? 'under 0.1 %' : `${percent} %`
}

/** With its sign, as items of the Foot Posture Index are written: "+2", "0", "-1". */
export const signed = (value: number): string => (value > 0 ? `+${value}` : String(value))

/** "a", "a and b", "a, b and c". */
export function listed(words: readonly string[]): string {
  if (words.length < 2) return words.join('')
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1) ?? ''}`
}

/** A sentence begins with a capital letter. */
export const sentence = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1)
