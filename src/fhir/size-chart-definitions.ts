import { LENGTH_NAMES, RANGE_NAMES, type SizeDimension } from '../domain/device/size-row.ts'
import type { DeviceSize, SizeChart } from '../domain/device/sizing.ts'
import { EXCHANGE_CODES, SIZE_CODES, SYSTEMS, UNITS } from './codes.ts'
import { decimal } from './decimal.ts'
import { concept } from './derived.ts'
import type { DeviceDefinition, DeviceDefinitionProperty, Quantity } from './r4/types.ts'

/**
 * How the two ends of a range are written. Both belong to it, as a foot on the limit still fits: a size
 * to 130 mm takes a foot of 130 mm, and so may the next, which starts there.
 */
export const RANGE_COMPARATORS = { min: '>=', max: '<=' } as const

export interface SizeChartDefinitions {
  readonly line: DeviceDefinition
  /** One per size, in the order of the chart. */
  readonly sizes: readonly DeviceDefinition[]
}

/**
 * A size chart as FHIR says it: the line of devices, and each of its sizes below it. R4 knows no status
 * of a DeviceDefinition.
 *
 * @param lineReference how the sizes name the line, for instance `urn:uuid:…`
 */
export function sizeChartDefinitions(
  chart: SizeChart,
  lineReference: string,
): SizeChartDefinitions {
  return {
    line: {
      resourceType: 'DeviceDefinition',
      identifier: [{ system: SYSTEMS.sizeChart, value: chart.id }],
      deviceName: [{ name: chart.title, type: 'user-friendly-name' }],
      type: concept(EXCHANGE_CODES.orthosis),
      version: [chart.version],
      note: [{ text: chart.note }],
    },
    sizes: chart.sizes.map((size) => ({
      resourceType: 'DeviceDefinition',
      modelNumber: size.code,
      property: propertiesOf(size),
      parentDevice: { reference: lineReference },
    })),
  }
}

function propertiesOf(size: DeviceSize): DeviceDefinitionProperty[] {
  return [
    ...RANGE_NAMES.map((name) =>
      property(name, [
        { ...millimetres(size[name].min), comparator: RANGE_COMPARATORS.min },
        { ...millimetres(size[name].max), comparator: RANGE_COMPARATORS.max },
      ]),
    ),
    ...LENGTH_NAMES.map((name) => property(name, [millimetres(size[name])])),
  ]
}

const property = (
  name: SizeDimension,
  valueQuantity: readonly Quantity[],
): DeviceDefinitionProperty => ({ type: concept(SIZE_CODES[name]), valueQuantity })

/** With every digit: what comes back is the same chart. */
function millimetres(value: number): Quantity {
  const { unit, code } = UNITS.millimetres
  return { value: decimal(String(value)), unit, system: SYSTEMS.ucum, code }
}
