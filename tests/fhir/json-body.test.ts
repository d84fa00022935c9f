import * as fc from 'fast-check'
import { expect, test } from 'vitest'

import { DecimalText, decimal, isDecimal, numberOf, writeJson } from '../../src/fhir/decimal.ts'
import { parseBody, parseText } from '../../src/fhir/json-body.ts'
import { officialExamples } from '../helpers/r4-cases.ts'

function valueOf(text: string): unknown {
  const body = parseText(text)
  if (!body.ok) throw new Error(`refused: ${body.faults.map(({ rule }) => rule).join()}`)
  return body.value
}

function faultsOf(text: string): string[] {
  const body = parseText(text)
  return body.ok ? [] : body.faults.map(({ rule, expression }) => `${rule} ${expression}`)
}

/**
 * datatypes.html 2.24.0.1 (precision is preserved for presentation), json.html 2.6.2.3; the
 * exponents of ±245 are those of the official observation-decimal example.
 */
const DECIMALS = [
  '1',
  '1.0',
  '1.00',
  '0.010',
  '0.01',
  '-0.0',
  '-0',
  '8.0',
  '12.50',
  '100',
  '1e2',
  '1E2',
  '1.0e-3',
  '1E-22',
  '1E+18',
  '1000000000000000000',
  '123456789012345678.9',
  '9007199254740993',
  '0.1000000000000000055511151231257827',
  '1.000000000000000000E-245',
  '-1.000000000000000000E+245',
]

for (const digits of DECIMALS) {
  test(`${digits} is written with the same characters`, () => {
    const text = `{"valueQuantity":{"value":${digits}},"list":[${digits},{"a":${digits}}]}`

    expect(writeJson(valueOf(text))).toBe(text)
  })
}

test('a number alone keeps its digits', () => {
  expect(writeJson(valueOf('6.0'))).toBe('6.0')
})

test('digits survive when a resource is taken out of its Bundle, changed and written alone', () => {
  const bundle = valueOf(
    '{"entry":[{"resource":{"resourceType":"Observation","valueQuantity":{"value":6.0}}}]}',
  )
  const entry: unknown = Reflect.get(Object(Reflect.get(Object(bundle), 'entry')), 0)
  const resource = Object(Reflect.get(Object(entry), 'resource')) as object

  const written = writeJson({ id: '1', ...resource, meta: { versionId: '1' } })

  expect(written).toBe(
    '{"id":"1","resourceType":"Observation","valueQuantity":{"value":6.0},"meta":{"versionId":"1"}}',
  )
})

test('plain JSON.stringify refuses a tree with digits to keep, rather than losing them', () => {
  expect(() => JSON.stringify(valueOf('{"value":6.0}'))).toThrow(/writeJson/)
})

test('a reader gets the number', () => {
  const value = valueOf('1.50')

  expect(isDecimal(value) && numberOf(value)).toBe(1.5)
  expect(isDecimal('1.50')).toBe(false)
})

test('a decimal of our own keeps the digits it is made with', () => {
  expect(writeJson([decimal('12.50'), decimal('8')])).toBe('[12.50,8]')
  expect(decimal('8')).toBe(8)
  expect(decimal('8.0')).toBeInstanceOf(DecimalText)
  expect(() => decimal('1.')).toThrow(RangeError)
})

const jsonNumber = fc
  .tuple(
    fc.constantFrom('', '-'),
    fc.oneof(fc.constant('0'), fc.stringMatching(/^[1-9]\d{0,24}$/)),
    fc.oneof(fc.constant(''), fc.stringMatching(/^\.\d{1,24}$/)),
    fc.oneof(fc.constant(''), fc.stringMatching(/^[eE][+-]?\d{1,2}$/)),
  )
  .map((parts) => parts.join(''))

test('every JSON number comes back with its characters, next to any other JSON', () => {
  fc.assert(
    fc.property(jsonNumber, fc.json(), (digits, other) => {
      // Text as our writer would write it, whatever the generator's spacing.
      const rest = JSON.stringify(JSON.parse(other))
      fc.pre(!rest.includes('__proto__'))
      const text = `{"other":${rest},"number":${digits}}`
      expect(writeJson(valueOf(text))).toBe(text)
    }),
  )
})

test('what the parser accepts of ordinary JSON is what JSON.parse makes of it', () => {
  fc.assert(
    fc.property(fc.jsonValue(), fc.constantFrom(undefined, 2), (value, indent) => {
      const text = JSON.stringify(value, null, indent)
      fc.pre(!text.includes('__proto__') && !text.includes('e-') && !text.includes('-0'))
      expect(JSON.stringify(valueOf(text))).toBe(JSON.stringify(value))
    }),
  )
})

for (const { name, text } of officialExamples()) {
  test(`the official ${name} keeps every number`, () => {
    const numbers = (json: string) =>
      json.replace(/"(?:[^"\\]|\\.)*"/g, '').match(/-?\d[\d.eE+-]*/g)

    expect(numbers(writeJson(valueOf(text)))).toEqual(numbers(text))
  })
}

/** json.html 2.6.2: property names are unique; the rest is RFC 8259. */
const REFUSED: [why: string, text: string, faults: string[]][] = [
  ['a property given twice', '{"a":{"b":1,"b":2}}', ['json.duplicate a.b']],
  [
    'a property given twice in a resource, which is named wherever its type stands',
    '{"name":[{"text":"a","te\\u0078t":"b"}],"resourceType":"Patient"}',
    ['json.duplicate Patient.name[0].text'],
  ],
  [
    'a type given twice',
    '{"resourceType":"Patient","resource\\u0054ype":"Task"}',
    ['json.duplicate Patient.resourceType'],
  ],
  [
    'a type that is none, which may be anything',
    '{"resourceType":"Muster","a":1,"a":2}',
    ['json.duplicate a'],
  ],
  [
    'twice in a list at the top, of which there is no expression',
    '[{"a":1,"a":2}]',
    ['json.duplicate '],
  ],
  ['a property given twice, once escaped', '{"ab":1,"\\u0061b":2}', ['json.duplicate ab']],
  ['twice in a list item', '{"a":[{},{"b":1,"b":2}]}', ['json.duplicate a[1].b']],
  ['a name that could be a person', '{"Max Muster":1,"Max Muster":2}', ['json.duplicate ']],
  ['__proto__', '{"a":{"__proto__":{}}}', ['json.proto a']],
  ['__proto__, escaped', '{"\\u005f_proto__":1}', ['json.proto ']],
  ['a comment', '{"a":1 /* x */}', ['json.syntax ']],
  ['a trailing comma', '{"a":1,}', ['json.syntax ']],
  ['NaN', '{"a":NaN}', ['json.syntax ']],
  ['a leading zero', '{"a":01}', ['json.syntax ']],
  ['nothing', '', ['json.syntax ']],
]

for (const [why, text, faults] of REFUSED) {
  test(`${why} is refused`, () => {
    expect(faultsOf(text)).toEqual(faults)
  })
}

test('a repeated word as value, or the same name in two objects, is no duplicate', () => {
  expect(faultsOf('{"a":"b","b":["b","b",{"a":"a"}],"c":{"a":1,"b":"}\\"{"}}')).toEqual([])
})

test('the fault of a broken body does not repeat what was sent', () => {
  const body = parseText('{"family":"Muster" "given"}')

  expect(body.ok ? '' : JSON.stringify(body.faults)).not.toMatch(/Muster|given/)
})

test('64 levels are accepted, 65 are not', () => {
  const nested = (levels: number) => '['.repeat(levels) + ']'.repeat(levels)

  expect(faultsOf(nested(64))).toEqual([])
  expect(faultsOf(nested(65))[0]).toMatch(/^json\.depth /)
})

test('200 properties in one object are accepted, 201 are not', () => {
  const wide = (count: number) =>
    `{${Array.from({ length: count }, (_, index) => `"a${index}":1`).join(',')}}`

  expect(faultsOf(wide(200))).toEqual([])
  expect(faultsOf(wide(201))).toEqual(['json.properties '])
})

test('bytes that are not UTF-8 are refused', () => {
  const body = parseBody(new Uint8Array([0x22, 0xff, 0x22]))

  expect(body.ok ? [] : body.faults.map(({ rule }) => rule)).toEqual(['json.encoding'])
})

test('UTF-8 beyond ASCII is kept', () => {
  const text = '{"family":"van\u00a0Dijk 😀 Łódź"}'
  const body = parseBody(new TextEncoder().encode(text))

  expect(body.ok && writeJson(body.value)).toBe(text)
})

test('10,000 items in one array are accepted, 10,001 are not', () => {
  const long = (count: number) => `{"a":[${Array(count).fill('0').join(',')}]}`

  expect(faultsOf(long(10_000))).toEqual([])
  expect(faultsOf(long(10_001))).toEqual(['json.items a'])
})

test('half a million elements are refused, wherever they stand', () => {
  const zeros = Array(500_000).fill(0).join(',')

  expect(faultsOf(`[${zeros}]`)).toEqual(['json.items '])
  expect(faultsOf(`{"entry":[{"resource":{"a":[${zeros}]}}]}`)).toEqual([
    'json.items entry[0].resource.a',
  ])
})

test.each([100, 1_000, 10_000, 100_000, 1_000_000])(
  '%i levels are refused before they are parsed, as arrays, objects or both, closed or not',
  (levels) => {
    for (const open of ['[', '{"a":', '[{"a":'])
      for (const rest of ['', '1', ']'.repeat(levels)])
        expect(faultsOf(open.repeat(levels) + rest)[0]).toMatch(/^json\.depth /)
  },
)

const FRAGMENTS = ['"', '\\', '\\"', '{', '}', '[', ']', ',', ':', '1', '-', '\\u12', 'a', ' ']
const BROKEN = fc.oneof(
  fc.string(),
  fc.array(fc.constantFrom(...FRAGMENTS), { maxLength: 60 }).map((parts) => parts.join('')),
)

test('whatever is no JSON is refused as that, or for a limit, and ends', () => {
  fc.assert(
    fc.property(BROKEN, (text) => {
      let valid = true
      try {
        JSON.parse(text)
      } catch {
        valid = false
      }
      const rules = faultsOf(text).map((fault) => fault.split(' ')[0])
      if (valid) expect(rules).not.toContain('json.syntax')
      else expect(rules).toEqual(['json.syntax'])
    }),
    { numRuns: 2_000 },
  )
})
