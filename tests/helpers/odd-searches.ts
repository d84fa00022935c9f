import { REGISTRY } from '../../src/fhir/registry.ts'
import type { Dice } from './any-request.ts'
import { ANY, MODIFIED, MODIFIERS, RESULTS, VALUES } from './odd-search-values.ts'

// Searches with the parameters of R4 and values that are nearly right, or far from it.

/** `code:not=a|b`, chained or reversed at times. */
export function oddParameter(type: string, dice: Dice): string {
  if (dice.chance(3)) return dice.of(RESULTS)
  const row = REGISTRY.find((entry) => entry.type === type) ?? dice.of(REGISTRY)
  if (row.search.length === 0) return dice.of(RESULTS)
  const { code, kind, targets } = dice.of(row.search)
  const value = dice.chance(8) ? dice.of(ANY) : dice.of(VALUES[kind] ?? ANY)
  const listed = dice.chance(6) ? `${value},${dice.of(VALUES[kind] ?? ANY)}` : value
  if (kind === 'reference' && dice.chance(3)) {
    const target = targets.length > 0 && dice.chance(2) ? `:${dice.of(targets)}` : ''
    return `${code}${target}.${oddParameter(dice.of(targets.length > 0 ? targets : ['Patient']), dice)}`
  }
  if (dice.chance(10)) {
    const from = dice.of(REGISTRY)
    const link = from.search.length === 0 ? 'subject' : dice.of(from.search).code
    return `_has:${from.type}:${link}:${oddParameter(from.type, dice)}`
  }
  if (dice.chance(4)) {
    const modifier = dice.of(MODIFIERS)
    return `${code}${modifier}=${dice.chance(2) ? dice.of(MODIFIED) : listed}`
  }
  return `${code}=${listed}`
}

/** Without the question mark. */
export const oddQuery = (type: string, dice: Dice): string =>
  Array.from({ length: dice.below(5) }, () => oddParameter(type, dice)).join('&')
