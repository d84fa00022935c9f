import { expect, test } from 'vitest'

import { DecimalText } from '../../src/fhir/decimal.ts'
import { PRIMITIVES } from '../../src/fhir/primitives.ts'

/** Typed from datatypes.html 2.24.0.1 of 4.0.1: the text, and the calendar where it is real. */
const CASES: Record<string, { ok: readonly unknown[]; bad: readonly unknown[] }> = {
  boolean: { ok: [true, false], bad: ['true', 1, null] },
  integer: {
    ok: [0, -5, 2_147_483_647, -2_147_483_648],
    bad: [1.5, 2_147_483_648, '1', new DecimalText('1.0')],
  },
  unsignedInt: { ok: [0, 1], bad: [-1, 0.5] },
  positiveInt: { ok: [1, 2_147_483_647], bad: [0, -1, 2_147_483_648] },
  decimal: {
    ok: [0, 1.5, new DecimalText('1.0'), new DecimalText('1E+245')],
    bad: ['1.5', null, Number.NaN, new DecimalText('1e999')],
  },
  string: {
    ok: ['a', ' a\t\r\n', 'van\u00a0Dijk', '😀'],
    bad: ['', 'a\u0000b', 'a\u001fb', '\ud800', '\udc00x', 1],
  },
  markdown: { ok: ['# a\n'], bad: [''] },
  code: { ok: ['a', 'a b', '%'], bad: ['', ' a', 'a ', 'a  b', 'a\tb', 'a\u0001'] },
  id: { ok: ['a', 'A-1.b', 'x'.repeat(64)], bad: ['', 'x'.repeat(65), 'dr 1_x', 'ä'] },
  uri: {
    ok: ['urn:uuid:c757873d-ec9a-4326-a141-556f43239520', 'http://a.example/b', '#x'],
    bad: ['', 'a b', 'a\n', 'a\u0001'],
  },
  url: { ok: ['https://a.example'], bad: ['a b'] },
  canonical: { ok: ['http://a.example/b|1.0#c'], bad: ['a b'] },
  oid: {
    ok: ['urn:oid:1.2.3', 'urn:oid:2.16.840'],
    bad: ['1.2.3', 'urn:oid:3.1', 'urn:oid:1.02', 'urn:oid:1'],
  },
  uuid: {
    ok: ['urn:uuid:c757873d-ec9a-4326-a141-556f43239520'],
    bad: ['c757873d-ec9a-4326-a141-556f43239520', 'urn:uuid:C757873D-EC9A-4326-A141-556F43239520'],
  },
  date: {
    ok: ['2022', '2022-05', '2022-05-01', '2024-02-29', '1900-02-28', '2000-02-29', '2022-04-30'],
    bad: [
      '22',
      '2022-5',
      '2022-13',
      '2022-00',
      '2022-05-32',
      '2022-04-31',
      '2023-02-29',
      '1900-02-29',
      '2022-05-01T00:00:00Z',
      '01/05/2022',
      '',
      '0000',
      '2022-05-01 ',
      ' 2022',
      2022,
    ],
  },
  dateTime: {
    ok: [
      '2022',
      '2022-05',
      '2022-05-01',
      '2022-05-01T10:15:00Z',
      '2022-05-01T10:15:00+14:00',
      '2022-05-01T10:15:00.123456-05:00',
      '2016-12-31T23:59:60Z',
    ],
    bad: [
      '2022-05-01T10:15:00',
      '2022-05-01T10:15Z',
      '2022-05-01T24:00:00Z',
      '2022-05-01T10:60:00Z',
      '2022-05-01 10:15:00Z',
      '2022-05-01T10:15:00+15:00',
      '2022-05-01T10:15:00+14:01',
      '2023-02-30T00:00:00Z',
      '2022-05T10:00:00Z',
    ],
  },
  instant: {
    ok: ['2022-05-01T10:15:00Z', '2022-05-01T10:15:00.000+01:00', '2016-12-31T23:59:60Z'],
    bad: ['2022-05-01', '2022-05-01T10:15:00', '2022-05-01T10:15Z'],
  },
  time: { ok: ['10:15:00', '23:59:59.999'], bad: ['10:15', '24:00:00', '10:15:00Z'] },
  base64Binary: {
    ok: ['YQ==', 'YWJj', 'YW Jj\n'],
    bad: ['', 'YQ=', 'Y', 'YQ==YQ==', 'Y*==', '===='],
  },
}

for (const [type, { ok, bad }] of Object.entries(CASES)) {
  for (const value of ok)
    test(`${type}: ${show(value)} is accepted`, () => {
      expect(PRIMITIVES[type]?.holds(value)).toBe(true)
    })
  for (const value of bad)
    test(`${type}: ${show(value)} is refused`, () => {
      expect(PRIMITIVES[type]?.holds(value)).toBe(false)
    })
}

test('every primitive type of the table is tested here', () => {
  expect(Object.keys(PRIMITIVES).sort()).toEqual(Object.keys(CASES).sort())
})

test('a string of 1 MB is accepted, one character more is not', () => {
  expect(PRIMITIVES.string?.holds('a'.repeat(1_048_576))).toBe(true)
  expect(PRIMITIVES.string?.holds('a'.repeat(1_048_577))).toBe(false)
})

function show(value: unknown): string {
  return value instanceof DecimalText ? value.text : JSON.stringify(value)
}
