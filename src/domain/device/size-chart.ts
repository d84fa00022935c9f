import type { DeviceSize, Range, SizeChart } from './sizing.ts'

/** What a length in mm may hold, see units.ts. */
const LONGEST_MM = 1000

/**
 * What is wrong with a clinic's size chart? Empty when it can be used.
 *
 * Sizes in any order; their length ranges must follow each other without gap or overlap, and the
 * last millimetre of one may be the first of the next. All in mm.
 */
export function sizeChartFaults({ sizes }: SizeChart): string[] {
  if (sizes.length === 0) return ['the chart has no sizes']
  const ordered = byLength(sizes)
  const codes = sizes.map((size) => size.code)
  const repeated = codes.filter((code, index) => codes.indexOf(code) !== index)
  return [
    ...repeated.map((code) => `${code}: the code is used twice`),
    ...ordered.flatMap(faultsOfSize),
    ...ordered.flatMap((size, index) => faultsBetween(ordered[index - 1], size)),
  ]
}

/** From the smallest size to the largest, whatever the order of the chart. */
export function byLength(sizes: readonly DeviceSize[]): readonly DeviceSize[] {
  return sizes.toSorted(
    (a, b) => a.footLength.max - b.footLength.max || a.footLength.min - b.footLength.min,
  )
}

function faultsOfSize(size: DeviceSize): string[] {
  const ranges: readonly [string, Range][] = [
    ['foot length', size.footLength],
    ['forefoot breadth', size.forefootBreadth],
    ['ankle circumference', size.ankleCircumference],
  ]
  const lengths: readonly [string, number][] = [
    ['medial plate', size.medialPlate],
    ['lateral plate', size.lateralPlate],
    ['instep girth', size.instepGirth],
  ]
  return [
    ...ranges
      .filter(([, { min, max }]) => !(min > 0 && max > min && max <= LONGEST_MM))
      .map(([name, { min, max }]) => `${size.code}: ${name} from ${min} to ${max} is not a range`),
    ...lengths
      .filter(([, mm]) => !(mm > 0 && mm <= LONGEST_MM))
      .map(([name, mm]) => `${size.code}: ${name} of ${mm} is not a length`),
    ...(size.maxTrim >= 0 && size.maxTrim <= LONGEST_MM
      ? []
      : [`${size.code}: ${size.maxTrim} mm cannot be trimmed off`]),
  ]
}

function faultsBetween(smaller: DeviceSize | undefined, larger: DeviceSize): string[] {
  if (smaller === undefined) return []
  const end = smaller.footLength.max
  const start = larger.footLength.min
  if (start > end)
    return [`gap: no size between ${end} (${smaller.code}) and ${start} (${larger.code})`]
  if (start < end)
    return [`overlap: ${larger.code} starts at ${start}, before ${smaller.code} ends at ${end}`]
  return []
}
