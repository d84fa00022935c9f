import { expect, test } from 'vitest'
import type { DeviceDefinition, Resource } from '../../src/fhir/r4/types.ts'
import { sizeChartDefinitions } from '../helpers/size-chart-definitions.ts'
import { sizeChartEntryFaults, sizeChartLine } from '../../src/fhir/size-chart-entries.ts'
import type { CreateOperation } from '../../src/fhir/operations.ts'
import { chartOf, size, THREE_SIZES } from '../helpers/plans.ts'

const URL = 'urn:uuid:5e1f0000-0000-4000-8000-000000000000'

const entryOf = (
  resource: Resource,
  index: number,
  known: Partial<CreateOperation> = {},
): CreateOperation => ({
  kind: 'create',
  type: resource.resourceType,
  at: `entry[${index}]`,
  resourceAt: `entry[${index}].resource`,
  conditionAt: `entry[${index}].request.ifNoneExist`,
  ifMatchAt: '',
  fullUrl: undefined,
  resource,
  ifNoneExist: undefined,
  ...known,
})

const { line, sizes } = sizeChartDefinitions(THREE_SIZES, URL)
const LINE = entryOf(line, 0, { fullUrl: URL })
const SIZES = sizes.map((one, index) => entryOf(one, index + 1))

const placesOf = (...entries: readonly CreateOperation[]) =>
  sizeChartEntryFaults(entries).map(({ expression, rule }) => `${rule} at ${expression}`)

test('a line with all its sizes is one chart, in whatever order it is sent', () => {
  expect(placesOf(LINE, ...SIZES)).toEqual([])
  expect(placesOf(...SIZES.toReversed(), LINE)).toEqual([])
  expect(sizeChartLine([...SIZES, LINE])?.resource.version).toEqual(['1'])
})

test('where no DeviceDefinition is sent nothing is asked', () => {
  expect(placesOf(entryOf({ resourceType: 'Organization', name: 'Invented' }, 0))).toEqual([])
  expect(sizeChartLine([])).toBeUndefined()
})

test('a line alone has no sizes', () => {
  expect(placesOf(LINE)).toEqual(['size-chart at entry[0].resource'])
})

test('sizes whose line is not in the Bundle are refused, and told to come whole', () => {
  expect(placesOf(...SIZES)).toEqual([
    'size-chart-set at entry[1].resource.parentDevice',
    'size-chart-set at entry[2].resource.parentDevice',
    'size-chart-set at entry[3].resource.parentDevice',
  ])
  expect(sizeChartEntryFaults(SIZES)[0]?.text).toContain('send it whole, as a new version')
})

test('a size of another line is no part of the chart', () => {
  const [first, second, third] = sizes.map((one, index) =>
    entryOf(
      index === 1 ? { ...one, parentDevice: { reference: 'DeviceDefinition/kept' } } : one,
      index + 1,
    ),
  )

  expect(placesOf(LINE, ...[first, second, third].flatMap((one) => one ?? []))).toEqual([
    'size-chart-set at entry[2].resource.parentDevice',
  ])
})

test('the line may be named beside an address', () => {
  const at = 'https://clinic.example/fhir/DeviceDefinition/line'
  const below = (reference: string): CreateOperation[] =>
    sizes.map((one: DeviceDefinition, index) =>
      entryOf({ ...one, parentDevice: { reference } }, index + 1),
    )
  const there = entryOf(line, 0, { fullUrl: at })

  expect(placesOf(there, ...below('DeviceDefinition/line'))).toEqual([])
  expect(placesOf(there, ...below(at))).toEqual([])
  expect(placesOf(there, ...below('DeviceDefinition/other'))).toHaveLength(3)
})

test('two charts are not sent at once', () => {
  const other = entryOf({ ...line, version: ['2'] }, 4, { fullUrl: URL.replace(/0$/, '4') })

  expect(placesOf(LINE, ...SIZES, other)).toEqual(['size-chart-set at entry[4].resource'])
})

test('a chart is sent by itself', () => {
  const beside = entryOf({ resourceType: 'Organization', name: 'Invented' }, 4)

  expect(placesOf(LINE, ...SIZES, beside)).toEqual(['size-chart-set at entry[4].resource'])
})

test('a chart is sent without conditions', () => {
  const ifNoneExist = 'identifier=https://clinic.example/ids|a'

  expect(placesOf({ ...LINE, ifNoneExist }, ...SIZES)).toEqual([
    'size-chart-set at entry[0].request.ifNoneExist',
  ])
})

test('a fault of a row stands at its entry', () => {
  const { line: other, sizes: rows } = sizeChartDefinitions(
    chartOf(size(), size({ code: 'C', footLength: { min: 131, max: 140 } })),
    URL,
  )
  const entries = [other, ...rows].map((one, index) =>
    entryOf(one, index, index === 0 ? { fullUrl: URL } : {}),
  )

  expect(sizeChartEntryFaults(entries)).toEqual([
    {
      severity: 'error',
      code: 'value',
      expression: 'entry[2].resource.property[0]',
      rule: 'size-chart.foot-length',
      text: 'C: foot length starts at 131 mm, after B ends at 130: a gap.',
    },
  ])
})
