import { sizeChartFaults } from '../domain/device/size-chart.ts'
import type { SizeChartFault } from '../domain/device/size-row.ts'
import type { SizeChart } from '../domain/device/sizing.ts'
import { GENERIC_SIZE_CHART } from '../domain/tables/generic-size-chart.ts'
import type { Fault } from '../errors.ts'
import { EXCHANGE_CODES, SIZE_CODES, SYSTEMS } from './codes.ts'
import { profileFault } from './observation-profile.ts'
import { hasCode } from './reading.ts'
import { placeOf, type ReadSize, readSize, type StandingDefinition } from './size-reading.ts'

export interface SizeChartReading {
  /** What could not be read is empty or NaN. */
  readonly chart: SizeChart
  readonly faults: readonly Fault[]
}

/**
 * The chart that a line of devices and its sizes say, and everything that keeps it from being a whole,
 * valid one: what cannot be read, and what is wrong with its numbers.
 */
export function readSizeChart(
  line: StandingDefinition,
  sizes: readonly StandingDefinition[],
): SizeChartReading {
  const rows = sizes.map(readSize)
  const { faults, ...named } = readLine(line)
  const chart = { ...named, sizes: rows.map(({ size }) => size) }
  return {
    chart,
    faults: [
      ...faults,
      ...rows.flatMap((row) => row.faults),
      ...sizeChartFaults(chart).flatMap((fault) => chartFault(fault, line, rows)),
    ],
  }
}

function chartFault(
  { size, dimension, text }: SizeChartFault,
  line: StandingDefinition,
  rows: readonly ReadSize[],
): Fault[] {
  const row = rows.find((one) => one.size === size)
  if (row === undefined || dimension === undefined)
    return [profileFault(line.at, 'size-chart', text, 'required')]
  // A value that could not be read has been named already.
  if (row.unread.has(dimension)) return []
  if (dimension === 'code')
    return [profileFault(`${row.at}.modelNumber`, 'size-chart.code', text, 'duplicate')]
  const rule = `size-chart.${SIZE_CODES[dimension].code}`
  return [profileFault(`${row.at}.${placeOf(row.resource, dimension)}`, rule, text, 'value')]
}

interface ReadLine extends Omit<SizeChart, 'sizes'> {
  readonly faults: readonly Fault[]
}

/** As a rule set's: they stand in addresses and in every result. */
const NAME = /^[A-Za-z0-9.-]{1,64}$/
const named = (name: string | null | undefined): string =>
  typeof name === 'string' && NAME.test(name) ? name : ''

const ALLOWED = '1 to 64 letters, digits, dots and hyphens'
const NEEDED = {
  identifier: `One identifier of ${SYSTEMS.sizeChart} is needed, ${ALLOWED}.`,
  version: `One version is needed, ${ALLOWED}.`,
  deviceName: 'One name of the device is needed.',
  note: 'One note is needed that says where the sizes come from; it stands in every fitting plan.',
  type: `The type ${EXCHANGE_CODES.orthosis.code} of ${EXCHANGE_CODES.orthosis.system} is needed.`,
} as const

function readLine({ at, resource }: StandingDefinition): ReadLine {
  const { identifier = [], version = [], deviceName = [], note = [], type } = resource
  const own = identifier.filter(({ system }) => system === SYSTEMS.sizeChart)
  const line = {
    id: named(only(own)?.value),
    version: named(only(version)),
    title: only(deviceName)?.name ?? '',
    note: only(note)?.text ?? '',
  }
  const missing = {
    identifier: line.id === '',
    version: line.version === '',
    deviceName: line.title === '',
    note: line.note === '',
    type: !hasCode(type, EXCHANGE_CODES.orthosis),
  }
  const reserved = line.id === GENERIC_SIZE_CHART.id
  return {
    ...line,
    faults: [
      ...(['identifier', 'version', 'deviceName', 'note', 'type'] as const)
        .filter((element) => missing[element])
        .map((element) => lineFault(at, element, NEEDED[element])),
      ...(reserved ? [lineFault(at, 'identifier', RESERVED, 'business-rule')] : []),
    ],
  }
}

/** Results would not tell the two apart. */
const RESERVED = `${GENERIC_SIZE_CHART.id} is the chart in force where a clinic has sent none; this one needs another name.`

const lineFault = (at: string, element: string, text: string, code = 'required'): Fault =>
  profileFault(`${at}.${element}`, `size-chart-line.${element}`, text, code)

const only = <T>(all: readonly T[]): T | undefined => (all.length === 1 ? all[0] : undefined)
