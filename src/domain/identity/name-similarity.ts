import jaroWinkler from 'jaro-winkler'

/**
 * How alike are two names, of which each record may have several? The best pair counts.
 *
 * @returns the Jaro-Winkler similarity, 0 to 1 (Winkler 1990), and 'unknown' when one of both has no name
 */
export function nameSimilarity(
  some: readonly string[],
  others: readonly string[],
): number | 'unknown' {
  if (some.length === 0 || others.length === 0) return 'unknown'
  return Math.max(...some.flatMap((one) => others.map((other) => jaroWinkler(one, other))))
}
