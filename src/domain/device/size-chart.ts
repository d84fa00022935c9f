import type { DeviceSize, SizeChart } from './sizing.ts'
import {
  DIMENSION_WORDS,
  isLength,
  isRange,
  RANGE_NAMES,
  type SizeChartFault,
  type SizeDimension,
  sizeFaults,
} from './size-row.ts'

/**
 * What is wrong with a clinic's size chart? Empty when it can be used.
 *
 * Sizes in any order, all in mm. Foot lengths must follow each other without gap or overlap, and the
 * last millimetre of one size may be the first of the next. Breadths and ankles may overlap but leave
 * no gap, and nothing shrinks from one size to the next. Every fault is found at once: a row whose
 * length is no range is left out of the comparisons, and no gap is claimed where it may belong.
 */
export function sizeChartFaults({ sizes }: SizeChart): SizeChartFault[] {
  if (sizes.length === 0) return [{ text: 'The chart has no sizes.' }]
  const ordered = byLength(sizes.filter(({ footLength }) => isRange(footLength)))
  const pairs = ordered.flatMap((larger, index): Pair[] => {
    const smaller = ordered[index - 1]
    return smaller === undefined ? [] : [{ smaller, larger }]
  })
  // Of two sizes for the same feet none is the larger one.
  const following = pairs.filter(({ smaller, larger }) => !overlap(smaller, larger))
  const apart =
    ordered.length === sizes.length ? following.filter((pair) => !bridged(pair, ordered)) : []
  return [
    ...repeatedCodes(sizes),
    ...sizes.flatMap(sizeFaults),
    ...overlapFaults(ordered),
    ...apart.flatMap(gapFaults),
    ...following.flatMap(shrinkFaults),
  ]
}

/** From the smallest size to the largest, whatever the order of the chart. */
export function byLength(sizes: readonly DeviceSize[]): readonly DeviceSize[] {
  return sizes.toSorted(
    (a, b) => a.footLength.max - b.footLength.max || a.footLength.min - b.footLength.min,
  )
}

interface Pair {
  readonly smaller: DeviceSize
  readonly larger: DeviceSize
}

const overlap = (smaller: DeviceSize, larger: DeviceSize): boolean =>
  larger.footLength.min < smaller.footLength.max

/** Neither of a pair bridges it: they do not overlap. */
const bridged = ({ smaller, larger }: Pair, sizes: readonly DeviceSize[]): boolean =>
  sizes.some((other) => overlap(other, larger) && overlap(smaller, other))

/** A range that is none is compared with nothing. */
const comparable = ({ smaller, larger }: Pair, name: (typeof RANGE_NAMES)[number]): boolean =>
  isRange(smaller[name]) && isRange(larger[name])

function repeatedCodes(sizes: readonly DeviceSize[]): SizeChartFault[] {
  const codes = sizes.map(({ code }) => code)
  return sizes.flatMap((size, index) =>
    codes.indexOf(size.code) === index
      ? []
      : [{ size, dimension: 'code', text: `${size.code}: the code is used twice.` } as const],
  )
}

/** Each size that starts inside a smaller one; it need not be its neighbour. */
function overlapFaults(ordered: readonly DeviceSize[]): SizeChartFault[] {
  return ordered.flatMap((size, index) => {
    const inside = ordered.slice(0, index).find((smaller) => overlap(smaller, size))
    if (inside === undefined) return []
    const { code, footLength } = inside
    const text = `${size.code}: foot length starts at ${size.footLength.min} mm, before ${code} ends at ${footLength.max}: an overlap.`
    return [{ size, dimension: 'footLength' as const, text }]
  })
}

/** A foot between two sizes, which neither takes. */
function gapFaults(pair: Pair): SizeChartFault[] {
  const { smaller, larger } = pair
  return RANGE_NAMES.filter(
    (name) => comparable(pair, name) && larger[name].min > smaller[name].max,
  ).map((dimension) => ({
    size: larger,
    dimension,
    text: `${larger.code}: ${DIMENSION_WORDS[dimension]} starts at ${larger[dimension].min} mm, after ${smaller.code} ends at ${smaller[dimension].max}: a gap.`,
  }))
}

function shrinkFaults(pair: Pair): SizeChartFault[] {
  const { smaller, larger } = pair
  const shrunk = (dimension: SizeDimension, before: number, now: number): SizeChartFault[] => {
    const text = `${larger.code}: ${DIMENSION_WORDS[dimension]} of ${now} mm is less than the ${before} of the smaller ${smaller.code}.`
    return isLength(now) && isLength(before) && now < before
      ? [{ size: larger, dimension, text }]
      : []
  }
  return [
    ...(['forefootBreadth', 'ankleCircumference'] as const)
      .filter((name) => comparable(pair, name))
      .flatMap((name) => [
        ...shrunk(name, smaller[name].min, larger[name].min),
        ...shrunk(name, smaller[name].max, larger[name].max),
      ]),
    ...(['medialPlate', 'lateralPlate', 'instepGirth'] as const).flatMap((name) =>
      shrunk(name, smaller[name], larger[name]),
    ),
  ]
}
