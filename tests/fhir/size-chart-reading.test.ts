import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import type { DeviceSize, SizeChart } from '../../src/domain/device/sizing.ts'
import { GENERIC_SIZE_CHART } from '../../src/domain/tables/generic-size-chart.ts'
import { SYSTEMS } from '../../src/fhir/codes.ts'
import { parseText } from '../../src/fhir/json-body.ts'
import { writeJson } from '../../src/fhir/decimal.ts'
import type { DeviceDefinition } from '../../src/fhir/r4/types.ts'
import { sizeChartDefinitions } from '../helpers/size-chart-definitions.ts'
import { readSizeChart } from '../../src/fhir/size-chart-reading.ts'
import { validateResource } from '../../src/fhir/validate.ts'
import { chartOf, size, THREE_SIZES } from '../helpers/plans.ts'

const standing = (resource: DeviceDefinition, index: number) => ({ at: `row[${index}]`, resource })

/** Reads a line and its sizes; line and sizes may be changed on the way. */
function readBack(
  chart: SizeChart,
  change: {
    readonly line?: (line: DeviceDefinition) => DeviceDefinition
    readonly size?: (size: DeviceDefinition) => DeviceDefinition
  } = {},
) {
  const { line, sizes } = sizeChartDefinitions(chart, 'DeviceDefinition/line')
  const same = (one: DeviceDefinition) => one
  return readSizeChart(
    { at: 'line', resource: (change.line ?? same)(line) },
    sizes.map(change.size ?? same).map(standing),
  )
}
const faultsOf = (...args: Parameters<typeof readBack>) =>
  readBack(...args).faults.map(({ expression, text }) => `${expression}: ${text}`)
const placesOf = (...args: Parameters<typeof readBack>) =>
  readBack(...args).faults.map(({ expression, rule }) => `${rule} at ${expression}`)

/** The size B of 120 to 130 mm, its property at a position changed. */
type Property = NonNullable<DeviceDefinition['property']>[number]
const withProperty =
  (index: number, change: (property: Property) => Property) =>
  (definition: DeviceDefinition): DeviceDefinition => ({
    ...definition,
    property: (definition.property ?? []).map((one, at) => (at === index ? change(one) : one)),
  })
const ONE = chartOf(size())

const mm = fc.integer({ min: 1, max: 2000 })
/** Lengths of a tenth of a millimetre, breadths and girths of any number that fits. */
const anyChart: fc.Arbitrary<SizeChart> = fc
  .tuple(
    fc.uniqueArray(mm, { minLength: 2, maxLength: 12 }),
    fc.double({ min: 0.1, max: 0.5, noNaN: true }),
    fc.stringMatching(/^[A-Za-z0-9.-]{1,64}$/),
    fc.string({ minLength: 1, maxLength: 60 }),
  )
  .map(([cuts, share, version, text]) => {
    const tenths = cuts.toSorted((a, b) => a - b).map((tenth) => 70 + tenth / 10)
    const sizes = tenths.slice(1).map((max, index): DeviceSize => {
      const min = tenths[index] ?? 70
      return {
        code: `Größe ${index + 1}`,
        footLength: { min, max },
        forefootBreadth: { min: min * share, max },
        ankleCircumference: { min, max: max * (1 + share) },
        medialPlate: min * (0.5 + share),
        lateralPlate: max,
        instepGirth: max,
        maxTrim: min * share,
      }
    })
    return { id: `chart.${version}`.slice(0, 64), version, title: text, note: text, sizes }
  })

test('a chart becomes FHIR and comes back as it was, digit by digit', () => {
  fc.assert(
    fc.property(anyChart, (chart) => {
      const { line, sizes } = sizeChartDefinitions(chart, 'DeviceDefinition/line')
      const sent = [line, ...sizes].map((one) => parseText(writeJson(one)))
      const [parsedLine, ...parsedSizes] = sent.flatMap((one) => (one.ok ? [one.value] : []))

      const { chart: back, faults } = readSizeChart(
        { at: 'line', resource: parsedLine as DeviceDefinition },
        parsedSizes.map((one, index) => standing(one as DeviceDefinition, index)),
      )

      expect(faults).toEqual([])
      expect(back).toEqual(chart)
    }),
  )
})

test('line and sizes are valid R4, and say what they are', () => {
  const { line, sizes } = sizeChartDefinitions(THREE_SIZES, 'DeviceDefinition/line')

  expect([line, ...sizes].flatMap((one) => validateResource(one))).toEqual([])
  expect(line).toMatchObject({
    identifier: [
      { system: 'https://footing.example/fhir/NamingSystem/size-chart', value: 'invented' },
    ],
    version: ['1'],
    type: { coding: [{ code: 'supramalleolar-orthosis' }] },
    note: [{ text: 'Invented for a test.' }],
  })
  expect(sizes[1]).toMatchObject({
    modelNumber: 'B',
    parentDevice: { reference: 'DeviceDefinition/line' },
  })
  expect(sizes[1]?.property?.[0]).toEqual({
    type: {
      coding: [
        {
          system: 'https://footing.example/fhir/CodeSystem/device-property',
          code: 'foot-length',
          display: 'Length of the feet it is for',
        },
      ],
    },
    valueQuantity: [
      { value: 120, comparator: '>=', unit: 'mm', system: 'http://unitsofmeasure.org', code: 'mm' },
      { value: 130, comparator: '<=', unit: 'mm', system: 'http://unitsofmeasure.org', code: 'mm' },
    ],
  })
  expect(sizes[1]?.property?.[3]?.valueQuantity).toEqual([
    { value: 95, unit: 'mm', system: 'http://unitsofmeasure.org', code: 'mm' },
  ])
})

const NAMES = [
  'foot-length',
  'forefoot-breadth',
  'ankle-circumference',
  'medial-plate',
  'lateral-plate',
  'instep-girth',
  'max-trim',
]

test.each(NAMES)('a size without %s is refused, with row and property named', (code) => {
  const without = (definition: DeviceDefinition): DeviceDefinition => ({
    ...definition,
    property: (definition.property ?? []).filter(({ type }) => type.coding?.[0]?.code !== code),
  })

  expect(placesOf(ONE, { size: without })).toEqual([`size-chart.${code} at row[0].property`])
  expect(faultsOf(ONE, { size: without })[0]).toMatch(
    new RegExp(`^row\\[0\\]\\.property: B: .* is missing; it is the property ${code} of https:`),
  )
})

test('a dimension is said once', () => {
  const twice = (definition: DeviceDefinition): DeviceDefinition => ({
    ...definition,
    property: [...(definition.property ?? []), ...(definition.property ?? []).slice(3, 4)],
  })

  expect(faultsOf(ONE, { size: twice })).toEqual([
    'row[0].property[3]: B: medial plate stands in 2 properties, not in one.',
  ])
})

test('a range needs both ends, and both belong to it', () => {
  const needed =
    'row[0].property[1].valueQuantity: B: forefoot breadth needs two quantities, >= and <=; both ends belong to it.'
  for (const change of [
    ([least]: readonly object[]) => [least],
    ([least, most]: readonly object[]) => [least, { ...most, comparator: '<' }],
    ([least, most]: readonly object[]) => [{ ...least, comparator: '>' }, most],
    ([least, most]: readonly object[]) => [least, most, most],
    () => [],
  ])
    expect(
      faultsOf(ONE, {
        size: withProperty(1, (one) => ({
          ...one,
          valueQuantity: change(one.valueQuantity ?? []) as Property['valueQuantity'] & object,
        })),
      }),
    ).toEqual([needed])
})

test('the ends of a range may come in either order', () => {
  const turned = withProperty(0, (one) => ({
    ...one,
    valueQuantity: [...(one.valueQuantity ?? [])].toReversed(),
  }))

  expect(readBack(ONE, { size: turned })).toEqual({ chart: ONE, faults: [] })
})

test('a length is one quantity without comparator', () => {
  const length = (valueQuantity: object[]) => ({
    size: withProperty(3, (one) => ({ ...one, valueQuantity })),
  })
  const plain = { value: 95, system: SYSTEMS.ucum, code: 'mm' }

  expect(faultsOf(ONE, length([plain]))).toEqual([])
  for (const wrong of [[plain, plain], [{ ...plain, comparator: '<' }], []])
    expect(faultsOf(ONE, length(wrong))).toEqual([
      'row[0].property[3].valueQuantity: B: medial plate needs one quantity without comparator.',
    ])
})

test('millimetres are given as such, with a value', () => {
  const length = (quantity: object) => ({
    size: withProperty(3, (one) => ({ ...one, valueQuantity: [quantity] })),
  })
  const at = 'row[0].property[3].valueQuantity[0]'

  expect(faultsOf(ONE, length({ value: 9.5, system: SYSTEMS.ucum, code: 'cm' }))).toEqual([
    `${at}.code: B: medial plate is given in mm.`,
  ])
  expect(faultsOf(ONE, length({ value: 95, unit: 'mm' }))).toEqual([
    `${at}.system: B: medial plate needs its unit in http://unitsofmeasure.org.`,
  ])
  expect(faultsOf(ONE, length({ system: SYSTEMS.ucum, code: 'mm' }))).toEqual([
    `${at}.value: B: medial plate needs a value.`,
  ])
})

test('a property of our code system that nothing reads is refused, another is kept', () => {
  const also = (system: string, code: string) => ({
    size: (definition: DeviceDefinition): DeviceDefinition => ({
      ...definition,
      property: [...(definition.property ?? []), { type: { coding: [{ system, code }] } }],
    }),
  })

  expect(faultsOf(ONE, also('https://clinic.example/codes', 'weight'))).toEqual([])
  expect(placesOf(ONE, also(SYSTEMS.deviceProperty, 'medial-plates'))).toEqual([
    'size-chart.property at row[0].property[7].type',
  ])
})

test('a size may have identifiers, but not one of charts', () => {
  const named = (system: string) => ({
    size: (definition: DeviceDefinition): DeviceDefinition => ({
      ...definition,
      identifier: [
        { system: 'https://clinic.example/sizes', value: 'B' },
        { system, value: 'B' },
      ],
    }),
  })

  expect(faultsOf(ONE, named('https://maker.example/catalogue'))).toEqual([])
  expect(placesOf(ONE, named(SYSTEMS.sizeChart))).toEqual([
    'size-chart.identifier at row[0].identifier[1]',
  ])
})

test('a size needs a code of 1 to 32 characters', () => {
  const coded = (modelNumber: string) => ({
    size: (definition: DeviceDefinition): DeviceDefinition => ({ ...definition, modelNumber }),
  })

  for (const right of ['1', '5½ wide', 'x'.repeat(32)])
    expect(readBack(ONE, coded(right)).chart.sizes[0]?.code).toBe(right)
  for (const wrong of ['', ' 1', '1 ', 'a\tb', 'x'.repeat(33)])
    expect(faultsOf(ONE, coded(wrong))).toEqual([
      'row[0].modelNumber: A size without a code: the code of the size is needed, 1 to 32 characters.',
    ])
})

test('rows without a code are not said to repeat one', () => {
  const nameless = ({ modelNumber: _code, ...rest }: DeviceDefinition): DeviceDefinition => rest

  expect(placesOf(THREE_SIZES, { size: nameless })).toEqual([
    'size-chart.code at row[0].modelNumber',
    'size-chart.code at row[1].modelNumber',
    'size-chart.code at row[2].modelNumber',
  ])
})

test('what is wrong with the numbers stands at the row and property it is of', () => {
  const wrong = chartOf(
    size({ footLength: { min: 130, max: 120 } }),
    size({ footLength: { min: 130, max: 140 }, lateralPlate: 150 }),
  )

  expect(placesOf(wrong)).toEqual([
    'size-chart.code at row[1].modelNumber',
    'size-chart.foot-length at row[0].property[0]',
    'size-chart.lateral-plate at row[1].property[4]',
  ])
})

test('a dimension that cannot be read is named once, and the others are still compared', () => {
  const chart = chartOf(
    size({ lateralPlate: 150 }),
    size({ code: 'C', footLength: { min: 130, max: 140 }, lateralPlate: 150 }),
  )
  const inCentimetres = withProperty(3, (one) => ({
    ...one,
    valueQuantity: [{ value: 9.5, system: SYSTEMS.ucum, code: 'cm' }],
  }))

  expect(placesOf(chart, { size: inCentimetres })).toEqual([
    'size-chart.medial-plate at row[0].property[3].valueQuantity[0].code',
    'size-chart.medial-plate at row[1].property[3].valueQuantity[0].code',
    'size-chart.lateral-plate at row[0].property[4]',
    'size-chart.lateral-plate at row[1].property[4]',
  ])
})

test('a chart without sizes is refused at its line', () => {
  expect(faultsOf(chartOf())).toEqual(['line: The chart has no sizes.'])
})

test('the line says identifier, version, name, note and type; each that is missing is named', () => {
  const bare = (): DeviceDefinition => ({ resourceType: 'DeviceDefinition' })

  expect(placesOf(ONE, { line: bare })).toEqual(
    ['identifier', 'version', 'deviceName', 'note', 'type'].map(
      (element) => `size-chart-line.${element} at line.${element}`,
    ),
  )
})

test('identifier and version are one each, of letters, digits, dots and hyphens', () => {
  const line = (known: Partial<DeviceDefinition>) => ({
    line: (one: DeviceDefinition): DeviceDefinition => ({ ...one, ...known }),
  })
  const own = (value: string) => ({ system: SYSTEMS.sizeChart, value })
  const other = { system: 'https://maker.example/catalogue', value: 'A 1' }

  expect(faultsOf(ONE, line({ identifier: [other, own('a'.repeat(64))] }))).toEqual([])
  expect(faultsOf(ONE, line({ version: ['2026-03.b'] }))).toEqual([])
  for (const identifier of [[own('a|b')], [own('a'.repeat(65))], [own('a'), own('b')], [other]])
    expect(placesOf(ONE, line({ identifier }))).toEqual([
      'size-chart-line.identifier at line.identifier',
    ])
  for (const version of [['1', '2'], ['1 b'], [null]])
    expect(placesOf(ONE, line({ version }))).toEqual(['size-chart-line.version at line.version'])
})

test('the name of the chart that is in force without one is not taken', () => {
  expect(faultsOf({ ...GENERIC_SIZE_CHART, version: '2027' })).toEqual([
    'line.identifier: generic is the chart in force where a clinic has sent none; this one needs another name.',
  ])
  expect(faultsOf({ ...GENERIC_SIZE_CHART, id: 'generic-2' })).toEqual([])
})
