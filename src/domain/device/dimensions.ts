import { type CivilDate, daysBetween, latestDay } from '../calendar.ts'
import { type Dimension, DIMENSIONS, type Foot, type Measurement, type Side } from '../child.ts'
import { type Fact, latest } from '../facts.ts'
import type { FootMeasure } from './growth.ts'
import { asLoaded } from './loading.ts'
import { contradicting, missing, questioned, stale } from './measurement-doubts.ts'
import { type Expected, expectedForAge, expectedForLength, plausibility } from './plausibility.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { Finding } from '../truth.ts'
import { DAYS_PER_MONTH, type Months } from '../units.ts'

export interface FootOnDay {
  readonly foot: Foot
  readonly side: Side
  readonly asOf: CivilDate
  /** Chronological on `asOf`. */
  readonly age: Months
}

/** The measurements of one foot that sizing may use, as if the child stood on it. */
export interface FootDimensions {
  readonly used: Readonly<Partial<Record<Dimension, FootMeasure>>>
  /** Every usable foot length, for the child's own rate of growth. */
  readonly lengths: readonly FootMeasure[]
  readonly warnings: readonly Finding[]
}

interface Reading {
  readonly measure?: FootMeasure
  readonly warnings: readonly Finding[]
}

/**
 * Which measurements of this foot count today, in mm as loaded?
 *
 * Of a dimension the newest day counts; on one day a loaded measurement goes before an unloaded
 * one. Two that disagree, or one that is off by a factor of ten, is not used: the dimension is then
 * unknown and an older value does not step in. Measurements after `asOf` are not yet known.
 */
export function footDimensions(on: FootOnDay, rules: RuleSet): FootDimensions {
  const length = newest(on, 'foot-length', rules, undefined)
  const readings = DIMENSIONS.map((dimension) => ({
    dimension,
    ...(dimension === 'foot-length' ? length : newest(on, dimension, rules, length.measure)),
  }))
  const used: Partial<Record<Dimension, FootMeasure>> = {}
  for (const { dimension, measure } of readings) if (measure) used[dimension] = measure

  const days = new Set(known(on, 'foot-length').map((fact) => fact.on))
  const lengths = [...days].flatMap(
    (day) =>
      readingOf(on, { dimension: 'foot-length', day, length: undefined }, rules).measure ?? [],
  )
  const growing = used['foot-length']
  const old = growing === undefined ? [] : stale(growing, on, rules)
  const warnings = [...readings.flatMap((reading) => reading.warnings), ...old]
  return { used, lengths, warnings }
}

function known({ foot, asOf }: FootOnDay, dimension: Dimension): readonly Fact<Measurement>[] {
  return foot.measurements[dimension].filter((fact) => fact.on <= asOf)
}

function newest(
  on: FootOnDay,
  dimension: Dimension,
  rules: RuleSet,
  length: FootMeasure | undefined,
): Reading {
  const day = latestDay(known(on, dimension).map((fact) => fact.on))
  return day === undefined
    ? { warnings: missing(dimension, on.side) }
    : readingOf(on, { dimension, day, length }, rules)
}

interface DayOfDimension {
  readonly dimension: Dimension
  readonly day: CivilDate
  readonly length: FootMeasure | undefined
}

function readingOf(
  on: FootOnDay,
  { dimension, day, length }: DayOfDimension,
  rules: RuleSet,
): Reading {
  const name = `${dimension}.${on.side}`
  const ofDay = known(on, dimension).filter((fact) => fact.on === day)
  const preferred = (['loaded', 'unloaded', 'unknown'] as const)
    .map((loading) => ofDay.filter((fact) => fact.value.loading === loading))
    .find((facts) => facts.length > 0)
  const { fact, contradiction } = latest(name, preferred ?? [])
  if (fact === 'unknown') {
    const doubt = contradicting({ dimension, side: on.side }, day, contradiction?.evidence ?? [])
    return { warnings: [doubt] }
  }

  const expected = expectation({ on, dimension, day, length }, rules)
  const doubt = expected === 'unknown' ? 'plausible' : plausibility(fact.value.mm, expected)
  const doubts = questioned({ dimension, side: on.side }, fact, { doubt, expected })
  if (doubt === 'unit-slip') return { warnings: doubts }
  const loaded = asLoaded(name, dimension, fact, rules)
  return { measure: loaded.measure, warnings: [...doubts, ...loaded.warnings] }
}

function expectation(
  { on, dimension, day, length }: DayOfDimension & { readonly on: FootOnDay },
  rules: RuleSet,
): Expected | 'unknown' {
  const age = on.age - daysBetween(day, on.asOf) / DAYS_PER_MONTH
  const forAge = expectedForAge({ dimension, age, z: rules.sizing.plausibleZ })
  if (forAge !== 'unknown' || length === undefined) return forAge
  return expectedForLength(dimension, length.mm)
}
