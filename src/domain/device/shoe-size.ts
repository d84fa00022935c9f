import type { ShoeSize, ShoeSystem } from '../child.ts'
import { type Said, say } from '../messages/message.ts'
import type { SourceId } from '../tables/sources.ts'
import { SHOE_SYSTEMS } from '../tables/shoe-sizes.ts'
import { type Millimetres, millimetres } from '../units.ts'

/**
 * Which bare foot length does a shoe size stand for, in mm?
 *
 * Good to about one size: a cross-check, never the measure. `unknown` outside the child's sizes of
 * that system.
 *
 * @see SHOE_SYSTEMS
 */
export function footLengthOfShoe({ system, size }: ShoeSize): Millimetres | 'unknown' {
  const { step, allowance, restart } = SHOE_SYSTEMS[system]
  if (!inRange(system, size)) return 'unknown'
  return millimetres((size + restart) * step - allowance)
}

/** "EU 24", to the half size, always with its system. */
export function shoeSizeTerm({ system, size }: ShoeSize): Said {
  const step = system === 'mondopoint' ? 1 : 0.5
  return say(`shoe-size.${system}`, { size: Math.round(size / step) * step })
}

/** On whose authority a size is converted. The US formula is from memory and says so. */
export const shoeSources = (system: ShoeSystem): readonly SourceId[] =>
  SHOE_SYSTEMS[system].memory ? ['shoe-size-formulas', 'memory'] : ['shoe-size-formulas']

/** Written as "inside", so NaN is outside. The margin absorbs floating point at the ends. */
function inRange(system: ShoeSystem, size: number): boolean {
  const { from, to } = SHOE_SYSTEMS[system]
  return size >= from - ROUNDING && size <= to + ROUNDING
}

const ROUNDING = 1e-9
