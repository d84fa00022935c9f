import { LENGTH_NAMES, RANGE_NAMES, type SizeDimension } from '../../src/domain/device/size-row.ts'
import type { DeviceSize, SizeChart } from '../../src/domain/device/sizing.ts'
import { EXCHANGE_CODES, SIZE_CODES, SYSTEMS, UNITS } from '../../src/fhir/codes.ts'
import { decimal } from '../../src/fhir/decimal.ts'
import { concept } from '../../src/fhir/derived.ts'
import { RANGE_COMPARATORS } from '../../src/fhir/size-reading.ts'
import type {
  DeviceDefinition,
  DeviceDefinitionProperty,
  Quantity,
} from '../../src/fhir/r4/types.ts'

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
