import {
  DIMENSION_WORDS,
  type LENGTH_NAMES,
  type RANGE_NAMES,
  type SizeDimension,
} from '../domain/device/size-row.ts'
import type { DeviceSize, Range } from '../domain/device/sizing.ts'
import type { Fault } from '../errors.ts'
import { SIZE_CODES, SYSTEMS, UNITS } from './codes.ts'
import { isDecimal, numberOf } from './decimal.ts'
import { profileFault } from './observation-profile.ts'
import type { DeviceDefinition, DeviceDefinitionProperty, Quantity } from './r4/types.ts'
import { hasCode, misread, read, type Reading } from './reading.ts'

/**
 * How the two ends of a range are written. Both belong to it, as a foot on the limit still fits: a size
 * to 130 mm takes a foot of 130 mm, and so may the next, which starts there.
 */
export const RANGE_COMPARATORS = { min: '>=', max: '<=' } as const

/** A DeviceDefinition and where it stands, for instance `Bundle.entry[3].resource`. */
export interface StandingDefinition {
  readonly at: string
  readonly resource: DeviceDefinition
}

/** A size as far as it can be read: what cannot be is NaN, and has its fault. */
export interface ReadSize extends StandingDefinition {
  readonly size: DeviceSize
  readonly faults: readonly Fault[]
  readonly unread: ReadonlySet<SizeDimension | 'code'>
}

/** One size of a chart, with everything that cannot be read of it. Every fault names the row. */
export function readSize({ at, resource }: StandingDefinition): ReadSize {
  const faults: Fault[] = []
  const unread = new Set<SizeDimension | 'code'>()
  const coded = codeOf(resource)
  const code = coded.ok ? coded.value : 'A size without a code'
  const valueOr = <T>(name: SizeDimension | 'code', reading: Reading<T>, otherwise: T): T => {
    if (reading.ok) return reading.value
    unread.add(name)
    const rule = `size-chart.${name === 'code' ? name : SIZE_CODES[name].code}`
    faults.push(profileFault(`${at}.${reading.at}`, rule, `${code}: ${reading.text}`, 'value'))
    return otherwise
  }
  const range = (name: (typeof RANGE_NAMES)[number]): Range =>
    valueOr(name, dimensionOf(resource, name, rangeOf), { min: Number.NaN, max: Number.NaN })
  const length = (name: (typeof LENGTH_NAMES)[number]): number =>
    valueOr(name, dimensionOf(resource, name, lengthOf), Number.NaN)
  const size = {
    code: valueOr('code', coded, code),
    footLength: range('footLength'),
    forefootBreadth: range('forefootBreadth'),
    ankleCircumference: range('ankleCircumference'),
    medialPlate: length('medialPlate'),
    lateralPlate: length('lateralPlate'),
    instepGirth: length('instepGirth'),
    maxTrim: length('maxTrim'),
  }
  return {
    at,
    resource,
    size,
    unread,
    faults: [
      ...faults,
      ...strangeCodes({ at, resource }, code),
      ...strangeNames({ at, resource }, code),
    ],
  }
}

/** Where a dimension stands, below the DeviceDefinition. */
export function placeOf({ property = [] }: DeviceDefinition, name: SizeDimension): string {
  const index = property.findIndex(({ type }) => hasCode(type, SIZE_CODES[name]))
  return index === -1 ? 'property' : `property[${index}]`
}

/** Short enough to stand on a device, and no text that could say more than a size. */
const SIZE_CODE = /^[^\s\p{C}](?:[^\p{C}]{0,30}[^\s\p{C}])?$/u

const codeOf = ({ modelNumber }: DeviceDefinition): Reading<string> =>
  modelNumber !== undefined && SIZE_CODE.test(modelNumber)
    ? read(modelNumber)
    : misread('modelNumber', 'the code of the size is needed, 1 to 32 characters.')

function dimensionOf<T>(
  definition: DeviceDefinition,
  name: SizeDimension,
  reader: (quantities: readonly Quantity[]) => Reading<T>,
): Reading<T> {
  const { code, system } = SIZE_CODES[name]
  const found = (definition.property ?? []).filter(({ type }) => hasCode(type, SIZE_CODES[name]))
  const [property] = found
  const at = placeOf(definition, name)
  const said = (text: string) => `${DIMENSION_WORDS[name]} ${text}`
  if (property === undefined)
    return misread(at, said(`is missing; it is the property ${code} of ${system}.`))
  if (found.length > 1)
    return misread(at, said(`stands in ${found.length} properties, not in one.`))
  const reading = reader(property.valueQuantity ?? [])
  return reading.ok ? reading : misread(`${at}.${reading.at}`, said(reading.text))
}

function rangeOf(quantities: readonly Quantity[]): Reading<Range> {
  const { min: from, max: to } = RANGE_COMPARATORS
  const least = quantities.findIndex(({ comparator }) => comparator === from)
  const most = quantities.findIndex(({ comparator }) => comparator === to)
  if (quantities.length !== 2 || least === -1 || most === -1)
    return misread(
      'valueQuantity',
      `needs two quantities, ${from} and ${to}; both ends belong to it.`,
    )
  const min = millimetresOf(quantities, least)
  const max = millimetresOf(quantities, most)
  if (!min.ok) return min
  return max.ok ? read({ min: min.value, max: max.value }) : max
}

function lengthOf(quantities: readonly Quantity[]): Reading<number> {
  const [length] = quantities
  return quantities.length === 1 && length?.comparator === undefined
    ? millimetresOf(quantities, 0)
    : misread('valueQuantity', 'needs one quantity without comparator.')
}

function millimetresOf(quantities: readonly Quantity[], index: number): Reading<number> {
  const at = `valueQuantity[${index}]`
  const { system, code, value } = quantities[index] ?? {}
  if (system !== SYSTEMS.ucum) return misread(`${at}.system`, `needs its unit in ${SYSTEMS.ucum}.`)
  if (code !== UNITS.millimetres.code) return misread(`${at}.code`, 'is given in mm.')
  return isDecimal(value) ? read(numberOf(value)) : misread(`${at}.value`, 'needs a value.')
}

const OURS = new Set(Object.values(SIZE_CODES).map(({ code }) => code))

/** A property of our code system that no rule reads: a slip that would otherwise go unnoticed. */
function strangeCodes({ at, resource }: StandingDefinition, row: string): Fault[] {
  return (resource.property ?? []).flatMap(({ type }: DeviceDefinitionProperty, index) => {
    const own = (type.coding ?? []).filter(({ system }) => system === SYSTEMS.deviceProperty)
    if (own.length <= 1 && own.every(({ code = '' }) => OURS.has(code))) return []
    const text = `${row}: a property has one of ${[...OURS].join(', ')} of ${SYSTEMS.deviceProperty}.`
    const expression = `${at}.property[${index}].type`
    return [profileFault(expression, 'size-chart.property', text, 'code-invalid')]
  })
}

/** The chart is found by its identifier, and is not one of its sizes. */
function strangeNames({ at, resource }: StandingDefinition, row: string): Fault[] {
  const index = (resource.identifier ?? []).findIndex(({ system }) => system === SYSTEMS.sizeChart)
  if (index === -1) return []
  const text = `${row}: an identifier of ${SYSTEMS.sizeChart} is the chart's, not a size's.`
  return [profileFault(`${at}.identifier[${index}]`, 'size-chart.identifier', text)]
}
