import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { decimal, writeJson } from '../../src/fhir/decimal.ts'
import { parseText } from '../../src/fhir/json-body.ts'
import { applyJsonPatch } from '../../src/fhir/json-patch.ts'

const read = (text: string): unknown => {
  const parsed = parseText(text)
  if (!parsed.ok) throw new Error('No JSON')
  return parsed.value
}
const done = (document: unknown, ...patch: readonly unknown[]): unknown => {
  const result = applyJsonPatch(document, patch)
  return result.ok
    ? result.value
    : result.faults.map(({ expression, text }) => `${expression}: ${text}`)
}

/** The documents of RFC 6902, appendix A, from memory; none of them is a resource, so all lack its members. */
describe('RFC 6902, appendix A', () => {
  test.each<[string, unknown, readonly unknown[], unknown]>([
    [
      'A.1 adding a member',
      { foo: 'bar' },
      [{ op: 'add', path: '/baz', value: 'qux' }],
      { baz: 'qux', foo: 'bar' },
    ],
    [
      'A.2 adding an element',
      { foo: ['bar', 'baz'] },
      [{ op: 'add', path: '/foo/1', value: 'qux' }],
      { foo: ['bar', 'qux', 'baz'] },
    ],
    [
      'A.3 removing a member',
      { baz: 'qux', foo: 'bar' },
      [{ op: 'remove', path: '/baz' }],
      { foo: 'bar' },
    ],
    [
      'A.4 removing an element',
      { foo: ['bar', 'qux', 'baz'] },
      [{ op: 'remove', path: '/foo/1' }],
      { foo: ['bar', 'baz'] },
    ],
    [
      'A.5 replacing a value',
      { baz: 'qux', foo: 'bar' },
      [{ op: 'replace', path: '/baz', value: 'boo' }],
      { baz: 'boo', foo: 'bar' },
    ],
    [
      'A.6 moving a value',
      { foo: { bar: 'baz', waldo: 'fred' }, qux: { corge: 'grault' } },
      [{ op: 'move', from: '/foo/waldo', path: '/qux/thud' }],
      { foo: { bar: 'baz' }, qux: { corge: 'grault', thud: 'fred' } },
    ],
    [
      'A.7 moving an element',
      { foo: ['all', 'grass', 'cows', 'eat'] },
      [{ op: 'move', from: '/foo/1', path: '/foo/3' }],
      { foo: ['all', 'cows', 'eat', 'grass'] },
    ],
    [
      'A.8 testing a value, success',
      { baz: 'qux', foo: ['a', 2, 'c'] },
      [
        { op: 'test', path: '/baz', value: 'qux' },
        { op: 'test', path: '/foo/1', value: 2 },
      ],
      { baz: 'qux', foo: ['a', 2, 'c'] },
    ],
    [
      'A.10 adding a nested object',
      { foo: 'bar' },
      [{ op: 'add', path: '/child', value: { grandchild: {} } }],
      { foo: 'bar', child: { grandchild: {} } },
    ],
    [
      'A.11 ignoring unrecognised members',
      { foo: 'bar' },
      [{ op: 'add', path: '/baz', value: 'qux', xyz: 123 }],
      { foo: 'bar', baz: 'qux' },
    ],
    [
      'A.14 escapes',
      { '/': 9, '~1': 10 },
      [{ op: 'test', path: '/~01', value: 10 }],
      { '/': 9, '~1': 10 },
    ],
    [
      'A.16 adding an array',
      { foo: ['bar'] },
      [{ op: 'add', path: '/foo/-', value: ['abc', 'def'] }],
      { foo: ['bar', ['abc', 'def']] },
    ],
  ])('%s', (_title, document, patch, expected) => {
    expect(done(document, ...patch)).toEqual(expected)
  })

  test.each<[string, unknown, readonly unknown[], string]>([
    [
      'A.9 testing a value, error',
      { baz: 'qux' },
      [{ op: 'test', path: '/baz', value: 'bar' }],
      'patch[0].path',
    ],
    [
      'A.12 adding to what is not there',
      { foo: 'bar' },
      [{ op: 'add', path: '/baz/bat', value: 'qux' }],
      'patch[0].path',
    ],
    [
      'A.15 a string is no number',
      { '/': 9, '~1': 10 },
      [{ op: 'test', path: '/~01', value: '10' }],
      'patch[0].path',
    ],
    [
      'an index with a leading zero',
      { foo: ['a', 'b'] },
      [{ op: 'remove', path: '/foo/01' }],
      'patch[0].path',
    ],
    [
      'an index behind the end',
      { foo: ['a'] },
      [{ op: 'add', path: '/foo/2', value: 1 }],
      'patch[0].path',
    ],
    ['removing what is not there', {}, [{ op: 'remove', path: '/foo' }], 'patch[0].path'],
    [
      'moving into itself',
      { a: { b: 1 } },
      [{ op: 'move', from: '/a', path: '/a/b' }],
      'patch[0].path',
    ],
    ['copying from nowhere', {}, [{ op: 'copy', from: '/a', path: '/b' }], 'patch[0].from'],
    [
      'the second of two',
      { a: 1 },
      [
        { op: 'remove', path: '/a' },
        { op: 'remove', path: '/a' },
      ],
      'patch[1].path',
    ],
    [
      'another type',
      { resourceType: 'Patient' },
      [{ op: 'replace', path: '/resourceType', value: 'Task' }],
      'patch',
    ],
    ['another id', { id: 'a' }, [{ op: 'remove', path: '/id' }], 'patch'],
  ])('%s: it fails as a whole', (_title, document, patch, expression) => {
    const result = applyJsonPatch(document, patch)

    expect(result).toMatchObject({ ok: false, kind: 'failed', faults: [{ expression }] })
  })
})

test.each<[string, unknown]>([
  ['an object', {}],
  ['an unknown operation', [{ op: 'merge', path: '/a' }]],
  ['no path', [{ op: 'remove' }]],
  ['a path that is no pointer', [{ op: 'remove', path: 'a' }]],
  ['a wrong escape', [{ op: 'remove', path: '/a~2' }]],
  ['no value', [{ op: 'add', path: '/a' }]],
  ['a move from nowhere said', [{ op: 'move', path: '/a' }]],
  ['a prototype', [{ op: 'add', path: '/__proto__/x', value: 1 }]],
  ['a constructor', [{ op: 'add', path: '/constructor/prototype', value: 1 }]],
  ['too many operations', Array.from({ length: 1001 }, () => ({ op: 'remove', path: '/a' }))],
])('%s is no patch', (_title, patch) => {
  expect(applyJsonPatch({}, patch)).toMatchObject({ ok: false, kind: 'malformed' })
})

test('decimals keep their digits, moved, copied and tested', () => {
  const document = read('{"value":6.0,"other":1.10}')
  const patch = read(
    '[{"op":"copy","from":"/value","path":"/third"},{"op":"test","path":"/other","value":1.10},{"op":"add","path":"/fourth","value":1.00E-2}]',
  )

  const result = applyJsonPatch(document, patch)

  expect(result.ok && writeJson(result.value)).toBe(
    '{"value":6.0,"other":1.10,"third":6.0,"fourth":1.00E-2}',
  )
})

// RFC 6902, section 4.6: numbers are equal when their values are.
test.each([
  ['1.10', '1.1', true],
  ['6.0', '6', true],
  ['1.0e-3', '0.001', true],
  ['1E+2', '100', true],
  ['0.0', '-0', true],
  ['1.10', '1.11', false],
  ['-1.0', '1', false],
  ['1e400', '1e401', false],
  ['123456789012345678.9', '123456789012345678.8', false],
])('a test of %s for %s holds: %s', (stored, asked, holds) => {
  const document = read(`{"value":[${stored}]}`)
  const patch = read(`[{"op":"test","path":"/value","value":[${asked}]}]`)

  expect(applyJsonPatch(document, patch).ok).toBe(holds)
})

test('no step leads into a decimal that carries its digits', () => {
  const document = read('{"value":6.0}')

  for (const op of ['test', 'replace', 'add', 'remove'])
    expect(applyJsonPatch(document, [{ op, path: '/value/text', value: '6.0' }])).toMatchObject({
      kind: 'failed',
      faults: [{ expression: 'patch[0].path' }],
    })
})

test('a decimal is moved and copied as it is, not written anew', () => {
  const document = read('{"value":6.0}')
  const result = done(
    document,
    { op: 'copy', from: '/value', path: '/copied' },
    { op: 'move', from: '/value', path: '/moved' },
  )

  expect(Reflect.get(Object(result), 'copied')).toBe(Reflect.get(Object(document), 'value'))
  expect(Reflect.get(Object(result), 'moved')).toBe(Reflect.get(Object(document), 'value'))
})

test('a change of a copy does not show in what was copied, nor the other way round', () => {
  const document = { a: { list: [1] } }
  const result = done(
    document,
    { op: 'add', path: '/a/list/-', value: 2 },
    { op: 'copy', from: '/a', path: '/b' },
    { op: 'add', path: '/a/list/-', value: 3 },
    { op: 'add', path: '/b/list/-', value: 4 },
  )

  expect(result).toEqual({ a: { list: [1, 2, 3] }, b: { list: [1, 2, 4] } })
  expect(document).toEqual({ a: { list: [1] } })
})

test('the values of a patch are not changed by its later steps', () => {
  const patch = [
    { op: 'add', path: '/a', value: { list: [1] } },
    { op: 'add', path: '/a/list/-', value: 2 },
  ]
  const before = structuredClone(patch)

  expect(done({}, ...patch)).toEqual({ a: { list: [1, 2] } })
  expect(patch).toEqual(before)
})

test('a move to its own place changes nothing', () => {
  expect(done({ a: [1, 2] }, { op: 'move', from: '/a/0', path: '/a/0' })).toEqual({ a: [1, 2] })
})

const DOUBLED = { op: 'copy', from: '/a', path: '/a/-' }

test.each<[string, unknown, readonly unknown[]]>([
  ['copies into itself', { a: [1] }, Array.from({ length: 60 }, () => DOUBLED)],
  [
    'copies of a long text',
    { a: 'x'.repeat(600_000) },
    [
      { op: 'copy', from: '/a', path: '/b' },
      { op: 'copy', from: '/a', path: '/c' },
    ],
  ],
  [
    'nesting deeper than a body may have',
    {},
    Array.from({ length: 70 }, (_, depth) => ({
      op: 'add',
      path: '/a'.repeat(depth + 1),
      value: {},
    })),
  ],
])('%s: refused as too costly', (_title, document, patch) => {
  expect(applyJsonPatch(document, patch)).toMatchObject({
    ok: false,
    kind: 'failed',
    faults: [{ code: 'too-costly' }],
  })
})

test('64 levels, which a body may have, are taken', () => {
  const patch = Array.from({ length: 63 }, (_, depth) => ({
    op: 'add',
    path: '/a'.repeat(depth + 1),
    value: {},
  }))

  expect(applyJsonPatch({}, patch).ok).toBe(true)
  expect(applyJsonPatch({}, [...patch, { op: 'add', path: '/a'.repeat(64), value: {} }]).ok).toBe(
    false,
  )
})

test('a decimal with its digits is no level of nesting', () => {
  const patch = Array.from({ length: 63 }, (_, depth) => ({
    op: 'add',
    path: '/a'.repeat(depth + 1),
    value: {},
  }))
  const last = { op: 'add', path: '/a'.repeat(64), value: decimal('1.0') }

  expect(applyJsonPatch({}, [...patch, last]).ok).toBe(true)
})

const anyStep = fc.constantFrom('a', 'b', '0', '1', '-', '00', 'text', '', 'toString', 'length')
const anyPointer = fc
  .array(anyStep, { maxLength: 4 })
  .map((steps) => steps.map((step) => `/${step}`).join(''))
const anyValue = fc.oneof(
  fc.constantFrom([], {}, decimal('1.0'), { a: [1, { b: 2 }] }),
  fc.jsonValue(),
)
const anyOperation = fc.record({
  op: fc.constantFrom('add', 'remove', 'replace', 'move', 'copy', 'test'),
  path: anyPointer,
  from: anyPointer,
  value: anyValue,
})

test('whatever is patched how, it is answered, and neither document nor patch is changed', () => {
  fc.assert(
    fc.property(anyValue, fc.array(anyOperation, { maxLength: 10 }), (value, patch) => {
      const document = { a: value, b: [value] }
      const before = writeJson([document, patch])

      expect(applyJsonPatch(document, patch).ok).toBeTypeOf('boolean')
      expect(writeJson([document, patch])).toBe(before)
    }),
    { numRuns: 500 },
  )
})

test('1000 operations are taken', () => {
  const patch = Array.from({ length: 1000 }, () => ({ op: 'add', path: '/a/-', value: 1 }))

  expect(done({ a: [] }, ...patch)).toEqual({ a: Array.from({ length: 1000 }, () => 1) })
})

test('the document stays as it was, and what is not touched is the same in both', () => {
  const document = { name: [{ family: 'a' }, { family: 'b' }], contact: { x: 1 } }
  const before = structuredClone(document)

  const result = done(document, { op: 'replace', path: '/name/0/family', value: 'c' })

  expect(document).toEqual(before)
  expect(result).toHaveProperty('contact', document.contact)
  expect((result as typeof document).contact).toBe(document.contact)
  expect((result as typeof document).name[1]).toBe(document.name[1])
})

test('what was added and is removed again leaves the document as it was', () => {
  fc.assert(
    fc.property(
      fc.dictionary(fc.stringMatching(/^[a-z]{1,5}$/), fc.jsonValue()),
      fc.stringMatching(/^[A-Z~/]{1,5}$/),
      fc.jsonValue(),
      (document, name, value) => {
        const path = `/${name.replaceAll('~', '~0').replaceAll('/', '~1')}`
        const result = done(
          document,
          { op: 'add', path, value },
          { op: 'test', path, value },
          { op: 'remove', path },
        )
        expect(result).toEqual(document)
      },
    ),
  )
})
