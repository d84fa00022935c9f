import { FOOT_PROPORTIONS } from '../tables/foot-proportions.ts'
import type { DeviceSize, Range } from './sizing.ts'

/** What a length in mm may hold, see units.ts. */
const LONGEST_MM = 1000

export const RANGE_NAMES = ['footLength', 'forefootBreadth', 'ankleCircumference'] as const
export const LENGTH_NAMES = ['medialPlate', 'lateralPlate', 'instepGirth', 'maxTrim'] as const
export type SizeDimension = (typeof RANGE_NAMES)[number] | (typeof LENGTH_NAMES)[number]

export const DIMENSION_WORDS: Readonly<Record<SizeDimension, string>> = {
  footLength: 'foot length',
  forefootBreadth: 'forefoot breadth',
  ankleCircumference: 'ankle circumference',
  medialPlate: 'medial plate',
  lateralPlate: 'lateral plate',
  instepGirth: 'instep girth',
  maxTrim: 'trim',
}

/** Something wrong with a size chart. */
export interface SizeChartFault {
  /** The row of the chart; absent when it is the chart as a whole. */
  readonly size?: DeviceSize
  readonly dimension?: SizeDimension | 'code'
  /** Starts with the code of the row. */
  readonly text: string
}

/** In mm. Written as "inside", so that NaN is refused too. */
export const isLength = (mm: number): boolean => mm > 0 && mm <= LONGEST_MM
const isTrim = (mm: number): boolean => mm >= 0 && mm <= LONGEST_MM

/** Does the range start above 0 and end after its start? In mm. */
export const isRange = ({ min, max }: Range): boolean => min > 0 && max > min && max <= LONGEST_MM

/**
 * What is wrong with one size, whatever the others are? In mm.
 *
 * Its ranges and lengths must be some, and each plate must end on the foot it is for. A value that is
 * none is compared with nothing else.
 *
 * @see FOOT_PROPORTIONS, between which shares of the length a landmark and the instep must lie
 */
export function sizeFaults(size: DeviceSize): SizeChartFault[] {
  const { code } = size
  const ranges = RANGE_NAMES.filter((name) => !isRange(size[name])).map((dimension) => {
    const { min, max } = size[dimension]
    const right = `above 0, the end above the start and at most ${LONGEST_MM}`
    const text = `${code}: ${DIMENSION_WORDS[dimension]} from ${min} to ${max} mm is no range (${right}).`
    return { size, dimension, text }
  })
  const lengths = LENGTH_NAMES.filter(
    (name) => !(name === 'maxTrim' ? isTrim : isLength)(size[name]),
  ).map((dimension) => {
    const text = `${code}: ${DIMENSION_WORDS[dimension]} of ${size[dimension]} mm is no length.`
    return { size, dimension, text }
  })
  const wrong = new Set<SizeDimension>([...ranges, ...lengths].map(({ dimension }) => dimension))
  const proportions = PROPORTIONS.filter(
    ({ of, beside, fails }) => !wrong.has(of) && !wrong.has(beside) && fails(size),
  ).map(({ of, says }) => ({ size, dimension: of, text: `${code}: ${says(size)}.` }))
  return [...ranges, ...lengths, ...proportions]
}

interface Proportion {
  readonly of: SizeDimension
  readonly beside: SizeDimension
  readonly fails: (size: DeviceSize) => boolean
  readonly says: (size: DeviceSize) => string
}

const { questioned } = FOOT_PROPORTIONS
const landmark = questioned['heel-to-first-metatarsal-head']
const instep = questioned['instep-girth']

const proportionsOfPlate = (plate: 'medialPlate' | 'lateralPlate'): readonly Proportion[] => [
  {
    of: plate,
    beside: 'footLength',
    fails: (size) => size[plate] > landmark.high * size.footLength.max,
    says: (size) =>
      `the ${DIMENSION_WORDS[plate]} of ${size[plate]} mm is longer than its longest foot of ${size.footLength.max}`,
  },
  {
    of: plate,
    beside: 'footLength',
    fails: (size) => size[plate] < landmark.low * size.footLength.min,
    says: (size) =>
      `the ${DIMENSION_WORDS[plate]} of ${size[plate]} mm is shorter than half its shortest foot of ${size.footLength.min}`,
  },
  {
    of: 'maxTrim',
    beside: plate,
    fails: (size) => size.maxTrim >= size[plate],
    says: (size) =>
      `a trim of ${size.maxTrim} mm leaves nothing of the ${DIMENSION_WORDS[plate]} of ${size[plate]}`,
  },
]

const PROPORTIONS: readonly Proportion[] = [
  ...proportionsOfPlate('medialPlate'),
  ...proportionsOfPlate('lateralPlate'),
  {
    of: 'medialPlate',
    beside: 'lateralPlate',
    fails: ({ medialPlate, lateralPlate }) => medialPlate > lateralPlate,
    says: ({ medialPlate, lateralPlate }) =>
      `the medial plate of ${medialPlate} mm is longer than the lateral one of ${lateralPlate}; it ends before the first metatarsal head, the lateral one behind the fifth`,
  },
  {
    of: 'forefootBreadth',
    beside: 'footLength',
    fails: ({ forefootBreadth, footLength }) => forefootBreadth.max > footLength.max,
    says: ({ forefootBreadth, footLength }) =>
      `a forefoot ${forefootBreadth.max} mm broad is more than its longest foot of ${footLength.max} is long`,
  },
  {
    of: 'instepGirth',
    beside: 'footLength',
    fails: ({ instepGirth, footLength }) => instepGirth > instep.high * footLength.max,
    says: ({ instepGirth, footLength }) =>
      `an instep girth of ${instepGirth} mm overlaps on every foot of ${footLength.max}`,
  },
  {
    of: 'instepGirth',
    beside: 'footLength',
    // Open by more than the shell itself reaches round.
    fails: ({ instepGirth, footLength }) => 2 * instepGirth < instep.low * footLength.min,
    says: ({ instepGirth, footLength }) =>
      `an instep girth of ${instepGirth} mm reaches less than half around every foot of ${footLength.min}`,
  },
]
