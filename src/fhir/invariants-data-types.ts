import { type Decimal, isDecimal, numberOf } from './decimal.ts'
import { chosen, every, has, inOrder, type Invariant, invariant } from './invariant.ts'
import { comparableUnits } from './ucum-factors.ts'
import type { Age, Count, Distance, Quantity, Range } from './r4/types.ts'

const UCUM = 'http://unitsofmeasure.org'

const ucumOrNone = ({ system }: { readonly system?: string }) =>
  system === undefined || system === UCUM

const codeWithValue = (quantity: Quantity | Age | Count | Distance) =>
  has(quantity, 'code') || !has(quantity, 'value')

const qty3 = (on: 'Quantity' | 'Age' | 'Count' | 'Distance' | 'Duration') =>
  invariant(
    on,
    ['qty-3', 'A unit code needs its system'],
    (quantity) => !has(quantity, 'code') || has(quantity, 'system'),
  )

/** What the two numbers are multiplied with to be of one unit; undefined where nobody knows. */
function factorsOf(low: Quantity, high: Quantity): readonly [number, number] | undefined {
  if (low.system !== high.system) return undefined
  if ((low.code ?? low.unit) === (high.code ?? high.unit)) return [1, 1]
  if (low.system !== UCUM) return undefined
  const found = comparableUnits(low.code ?? '').find(({ unit }) => unit === high.code)
  return found === undefined ? undefined : [Number(found.own), Number(found.times)]
}

/** The last digits of what was multiplied are not exact, and decide nothing. */
const ROUNDING = 1e-12

function rangeInOrder({ low, high }: Range): boolean {
  if (!isDecimal(low?.value) || !isDecimal(high?.value)) return true
  const factors = factorsOf(low, high)
  if (factors === undefined) return true
  const [start, end] = [numberOf(low.value) * factors[0], numberOf(high.value) * factors[1]]
  return start <= end || (factors[0] !== factors[1] && start - end < Math.abs(end) * ROUNDING)
}

function negative(value: unknown): boolean {
  return isDecimal(value) && numberOf(value) < 0
}

function writtenWithPoint(value: Decimal): boolean {
  return (typeof value === 'number' ? String(value) : value.text).includes('.')
}

const OF_DISTANCE = [codeWithValue, ucumOrNone]
const OF_AGE = [...OF_DISTANCE, ({ value }: Age) => value === undefined || numberOf(value) > 0]
const OF_COUNT = [
  ...OF_DISTANCE,
  ({ code }: Count) => code === undefined || code === '1',
  ({ value }: Count) => value === undefined || !writtenWithPoint(value),
]

/** When a dose or wearing time is tied to a meal itself, an offset to it makes no sense. */
const MEALS: ReadonlySet<string | null> = new Set(['C', 'CM', 'CD', 'CV'])

const ON_TIMING = 'Timing.repeat'
const TIMING: readonly Invariant[] = [
  invariant(
    ON_TIMING,
    ['tim-1', 'A duration needs a durationUnit'],
    (repeat) => !has(repeat, 'duration') || has(repeat, 'durationUnit'),
  ),
  invariant(
    ON_TIMING,
    ['tim-2', 'A period needs a periodUnit'],
    (repeat) => !has(repeat, 'period') || has(repeat, 'periodUnit'),
  ),
  invariant(
    ON_TIMING,
    ['tim-4', 'A duration must not be negative'],
    ({ duration }) => !negative(duration),
  ),
  invariant(
    ON_TIMING,
    ['tim-5', 'A period must not be negative'],
    ({ period }) => !negative(period),
  ),
  invariant(
    ON_TIMING,
    ['tim-6', 'A periodMax needs a period'],
    (repeat) => !has(repeat, 'periodMax') || has(repeat, 'period'),
  ),
  invariant(
    ON_TIMING,
    ['tim-7', 'A durationMax needs a duration'],
    (repeat) => !has(repeat, 'durationMax') || has(repeat, 'duration'),
  ),
  invariant(
    ON_TIMING,
    ['tim-8', 'A countMax needs a count'],
    (repeat) => !has(repeat, 'countMax') || has(repeat, 'count'),
  ),
  invariant(
    ON_TIMING,
    ['tim-9', 'An offset needs a when other than C, CM, CD and CV'],
    (repeat) =>
      !has(repeat, 'offset') ||
      (has(repeat, 'when') && every(repeat.when, (code) => !MEALS.has(code))),
  ),
  invariant(
    ON_TIMING,
    ['tim-10', 'timeOfDay and when exclude each other'],
    (repeat) => !has(repeat, 'timeOfDay') || !has(repeat, 'when'),
  ),
]

export const DATA_TYPE_INVARIANTS: readonly Invariant[] = [
  invariant('Age', ['age-1', 'An age needs a UCUM code of time and must be above zero'], (age) =>
    every(OF_AGE, (holds) => holds(age)),
  ),
  invariant('Count', ['cnt-3', 'A count is a whole number with the UCUM code 1'], (count) =>
    every(OF_COUNT, (holds) => holds(count)),
  ),
  invariant('Distance', ['dis-1', 'A distance needs a UCUM code of length'], (distance) =>
    every(OF_DISTANCE, (holds) => holds(distance)),
  ),
  invariant(
    'Duration',
    ['drt-1', 'A duration with a code needs a value, and UCUM as the system of the code'],
    (duration) => !has(duration, 'code') || (ucumOrNone(duration) && has(duration, 'value')),
  ),
  ...(['Quantity', 'Age', 'Count', 'Distance', 'Duration'] as const).map(qty3),
  invariant('Range', ['rng-2', 'low must not be above high'], rangeInOrder),
  invariant(
    'Ratio',
    ['rat-1', 'numerator and denominator must both be given, or neither with an extension'],
    ({ numerator, denominator, extension }) =>
      (numerator === undefined) === (denominator === undefined) &&
      (numerator !== undefined || extension !== undefined),
  ),
  invariant(
    'Period',
    ['per-1', 'start must not be after end'],
    ({ start, end }) => start === undefined || end === undefined || inOrder(start, end) !== false,
  ),
  invariant(
    'Attachment',
    ['att-1', 'Data need a contentType'],
    (attachment) => !has(attachment, 'data') || has(attachment, 'contentType'),
  ),
  invariant(
    'ContactPoint',
    ['cpt-2', 'A value needs a system'],
    (contact) => !has(contact, 'value') || has(contact, 'system'),
  ),
  invariant(
    'Extension',
    ['ext-1', 'An extension has either a value or extensions'],
    (extension) => (extension.extension !== undefined) !== chosen(extension, 'value'),
  ),
  invariant(
    'Expression',
    ['exp-1', 'An expression or a reference to one must be given'],
    (expression) => has(expression, 'expression') || has(expression, 'reference'),
  ),
  ...TIMING,
]
