import { type CivilDate, daysBetween } from '../domain/calendar.ts'
import { SIDES, type Side } from '../domain/child.ts'
import { footDimensions } from '../domain/device/dimensions.ts'
import { footLengthForAge } from '../domain/device/growth-rates.ts'
import type { RefitForecast } from '../domain/device/growth.ts'
import type { DeviceSize } from '../domain/device/sizing.ts'
import { byLength } from '../domain/device/size-chart.ts'
import { type Message, say, together } from '../domain/messages/message.ts'
import { FOOT_LENGTH_CURVE } from '../domain/tables/foot-length-curve.ts'
import { DAYS_PER_MONTH } from '../domain/units.ts'
import type { PictureFacts } from './picture-facts.ts'

/** The lengths of both feet against the curve for the age, the sizes, and when they are outgrown; mm and months. */
export interface GrowthPicture {
  readonly age: number
  readonly feet: readonly GrowingFoot[]
  readonly curve: readonly CurvePoint[]
  /** From the smallest to the largest, each with the longest foot it takes. */
  readonly sizes: readonly Pick<DeviceSize, 'code' | 'footLength'>[]
  readonly sentences: readonly Message[]
}

export interface GrowingFoot {
  readonly side: Side
  readonly lengths: readonly FootLength[]
  /** The code of the size that is proposed. */
  readonly size?: string
  readonly refit?: RefitRange
}

export interface FootLength {
  readonly on: CivilDate
  readonly age: number
  /** As if the child stood on it. */
  readonly mm: number
}

/** From when to when the foot reaches the length at which its size is to be changed; a day that is absent is not foreseen. */
export interface RefitRange extends Pick<RefitForecast, 'earliest' | 'median' | 'latest'> {
  readonly atMm: number
  readonly ages: Readonly<Partial<Record<'earliest' | 'median' | 'latest', number>>>
}

/** The mean of children of an age. */
export interface CurvePoint {
  readonly age: number
  readonly mean: number
}

export function growthPicture(facts: PictureFacts): GrowthPicture {
  const { triage, chart } = facts
  const feet = SIDES.map((side) => growingFoot(facts, side))
  const { fromMonths, toMonths } = FOOT_LENGTH_CURVE
  const curve = Array.from({ length: toMonths - fromMonths + 1 }, (_, index) => {
    const age = fromMonths + index
    const mean = footLengthForAge(age)
    return mean === 'unknown' ? [] : [{ age, mean }]
  })
  return {
    age: triage.ages.chronologicalMonths,
    feet,
    curve: curve.flat(),
    sizes: byLength(chart.sizes).map(({ code, footLength }) => ({ code, footLength })),
    sentences: [...noDevice(facts), ...SIDES.flatMap((side) => sentencesOf(facts, side))],
  }
}

/** A size alone would be taken for a proposal. */
const noDevice = ({ plan, fitting }: PictureFacts): Message[] =>
  plan === undefined && fitting === undefined ? [say('growth-picture.no-device')] : []

function growingFoot({ triage, rules }: PictureFacts, side: Side): GrowingFoot {
  const { child, asOf, ages, sizing } = triage
  const born = child.birthDate.value
  const ageAt = (on: CivilDate) => daysBetween(born, on) / DAYS_PER_MONTH
  const foot = { foot: child.feet[side], side, asOf, age: ages.chronologicalMonths }
  const lengths = footDimensions(foot, rules)
    .lengths.map(({ on, mm }) => ({ on, age: ageAt(on), mm }))
    .toSorted((a, b) => a.on.localeCompare(b.on))
  const { size, refit } = sizing[side]
  return {
    side,
    lengths,
    ...(size !== undefined && { size: size.code }),
    ...(refit !== undefined && {
      refit: rangeOf(refit, refit.limitMm - rules.sizing.growthReserveMm, ageAt),
    }),
  }
}

function rangeOf(
  { earliest, median, latest }: RefitForecast,
  atMm: number,
  ageAt: (on: CivilDate) => number,
): RefitRange {
  const days = {
    ...(earliest !== undefined && { earliest }),
    ...(median !== undefined && { median }),
    ...(latest !== undefined && { latest }),
  }
  const ages = Object.fromEntries(Object.entries(days).map(([name, on]) => [name, ageAt(on)]))
  return { ...days, atMm, ages }
}

function sentencesOf({ triage: { sizing } }: PictureFacts, side: Side): Message[] {
  const { because, refit } = sizing[side]
  const ahead = refit === undefined ? say('growth-picture.no-refit', { side }) : refit.because
  return [say('growth-picture.foot', { side, because: together([because, ahead]) })]
}
