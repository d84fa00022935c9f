import type { Foot, FpiItems } from '../domain/child.ts'
import { valueOf } from '../domain/facts.ts'
import type { RuleSet } from '../domain/rules/rule-set.ts'
import { ARCH_INDICES_2018 } from '../domain/tables/arch-indices-2018.ts'
import { FPI6_BANDS } from '../domain/tables/foot-posture-index.ts'
import { type Months, yearsOf } from '../domain/units.ts'

/** The measure that decided a plane, on an axis of its own. */
export interface Measured {
  /** As the finding names it: the items, or one of the measures. */
  readonly measure: string
  readonly name: 'fpi' | ScaledName
  /** Of the measure, or of the items that were judged. */
  readonly values: readonly number[]
  readonly unit: 'points' | 'degrees' | 'mm' | 'ratio' | 'percent'
  /** What the measure may be, as far as it is drawn. */
  readonly from: number
  readonly to: number
  /** From here the plane is met. */
  readonly limit: number
}

const SCALED = [
  'resting-heel-eversion',
  'navicular-drop',
  'staheli-index',
  'chippaux-smirak-index',
] as const
type ScaledName = (typeof SCALED)[number]

interface Basis {
  readonly foot: Foot
  readonly age: Months
  readonly limits: RuleSet['posture']
}

/** @param measure as the finding of the plane names it */
export function measuredOf(measure: string, basis: Basis): Measured | undefined {
  const { foot, limits } = basis
  if (measure.startsWith('fpi-item')) {
    const { itemLow: from, itemHigh: to } = FPI6_BANDS
    const values = itemsOf(measure, valueOf(foot.fpi) ?? {})
    return { measure, name: 'fpi', values, unit: 'points', from, to, limit: limits.fpiItemMet }
  }
  const name = SCALED.find((one) => one === measure)
  if (name === undefined) return undefined
  const { value, axis } = SCALES[name](basis)
  return value === undefined ? undefined : { measure, name, values: [value], ...axis }
}

const itemsOf = (measure: string, fpi: FpiItems): number[] =>
  FPI6_BANDS.items.flatMap((item) =>
    measure.split('-').includes(String(item)) ? (fpi[item] ?? []) : [],
  )

type Scaled = (basis: Basis) => {
  readonly value: number | undefined
  readonly axis: Omit<Measured, 'measure' | 'name' | 'values'>
}

/** How far a usual foot reaches; a value beyond it makes the axis longer. */
const SCALES: Readonly<Record<ScaledName, Scaled>> = {
  'resting-heel-eversion': ({ foot, limits }) =>
    scaled(valueOf(foot.heelEversion), 'degrees', [-10, 20], limits.heelEversionMetDegrees),
  'navicular-drop': ({ foot, limits }) =>
    scaled(valueOf(foot.navicularDrop), 'mm', [0, 20], limits.navicularDropMetMm),
  'staheli-index': ({ foot, age }) =>
    scaled(valueOf(foot.staheliIndex), 'ratio', [0, 2], limitOf(ARCH_INDICES_2018.staheli, age)),
  'chippaux-smirak-index': ({ foot, age }) =>
    scaled(
      valueOf(foot.chippauxSmirakPercent),
      'percent',
      [0, 100],
      limitOf(ARCH_INDICES_2018.chippauxSmirak, age),
    ),
}

function scaled(
  value: number | undefined,
  unit: Measured['unit'],
  [low, high]: readonly [number, number],
  limit: number,
): ReturnType<Scaled> {
  const from = Math.min(low, value ?? low)
  return { value, axis: { unit, from, to: Math.max(high, value ?? high), limit } }
}

function limitOf(
  rows: readonly { readonly fromYears: number; readonly toYears: number; readonly limit: number }[],
  age: Months,
): number {
  const years = yearsOf(age)
  return rows.find((row) => years >= row.fromYears && years < row.toYears)?.limit ?? 0
}
