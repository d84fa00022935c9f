import { isDecimal, numberOf } from './decimal.ts'

/**
 * Is the value a correct one of this primitive type? The page's own regular expressions
 * (datatypes.html 2.24.0.1) are informative; where its text says more, the text is checked.
 */
export type PrimitiveCheck = (value: unknown) => boolean

interface Primitive {
  readonly holds: PrimitiveCheck
  /** What would be right, to complete "must be …". */
  readonly right: string
}

/** json.html and datatypes.html: a string is at most 1 MB. */
const MAX_STRING_LENGTH = 1_048_576
const MAX_INTEGER = 2_147_483_647
const MIN_INTEGER = -2_147_483_648

const text =
  (holds: (value: string) => boolean): PrimitiveCheck =>
  (value) =>
    typeof value === 'string' && holds(value)

const matching = (pattern: RegExp) => text((value) => pattern.test(value))

/** `1.0` is a DecimalText in the tree, hence no integer, as the page's regular expression says. */
const integerFrom =
  (min: number): PrimitiveCheck =>
  (value) =>
    Number.isInteger(value) && Number(value) >= min && Number(value) <= MAX_INTEGER

const uri = text((value) => isText(value) && !/\s/.test(value))
const ID = /^[A-Za-z0-9\-.]{1,64}$/

export const PRIMITIVES: Readonly<Record<string, Primitive>> = {
  boolean: { holds: (value) => typeof value === 'boolean', right: 'true or false' },
  integer: { holds: integerFrom(MIN_INTEGER), right: 'a whole number of 32 bits' },
  unsignedInt: { holds: integerFrom(0), right: 'a whole number from 0 to 2147483647' },
  positiveInt: { holds: integerFrom(1), right: 'a whole number from 1 to 2147483647' },
  decimal: { holds: isFiniteDecimal, right: 'a number, in size below 1.8e308' },
  string: { holds: text(isText), right: 'text without control characters, at most 1 MB' },
  markdown: { holds: text(isText), right: 'text without control characters, at most 1 MB' },
  code: {
    holds: text((value) => isText(value) && /^\S+(?: \S+)*$/.test(value)),
    right: 'a code: no white space but single spaces inside',
  },
  id: { holds: matching(ID), right: '1 to 64 letters, digits, hyphens and dots' },
  uri: { holds: uri, right: 'a URI without white space' },
  url: { holds: uri, right: 'a URL without white space' },
  canonical: { holds: uri, right: 'a canonical URL without white space' },
  oid: {
    holds: matching(/^urn:oid:[0-2](?:\.(?:0|[1-9]\d*))+$/),
    right: 'an OID written urn:oid:1.2.3',
  },
  uuid: {
    holds: text(isUuid),
    right: 'a UUID written urn:uuid: and lower-case digits',
  },
  date: { holds: text(isDate), right: 'a real date: YYYY, YYYY-MM or YYYY-MM-DD' },
  dateTime: {
    holds: text(isDateTime),
    right: 'a real date, or a date with seconds and time zone: YYYY-MM-DDThh:mm:ss+zz:zz',
  },
  instant: {
    holds: text(isInstant),
    right: 'a real date with seconds and time zone: YYYY-MM-DDThh:mm:ss+zz:zz',
  },
  time: {
    holds: matching(/^(?:[01]\d|2[0-3]):[0-5]\d:(?:[0-5]\d|60)(?:\.\d+)?$/),
    right: 'hh:mm:ss',
  },
  base64Binary: { holds: text(isBase64), right: 'base64' },
}

function isFiniteDecimal(value: unknown): boolean {
  // A giant exponent is a JSON number but nothing we could compare, search or compute with.
  return isDecimal(value) && Number.isFinite(numberOf(value))
}

export function isUuid(value: string): boolean {
  return /^urn:uuid:[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}$/.test(value)
}

/** Tab, line feed and carriage return are the only control characters; surrogates come in pairs. */
function isText(value: string): boolean {
  if (value.length === 0 || value.length > MAX_STRING_LENGTH) return false
  for (let at = 0; at < value.length; at += 1) {
    const char = value.charCodeAt(at)
    if (char < 0x20 && char !== 0x09 && char !== 0x0a && char !== 0x0d) return false
    if (char >= 0xd800 && char <= 0xdfff) {
      if (!isPair(char, value.charCodeAt(at + 1))) return false
      at += 1
    }
  }
  return true
}

function isPair(high: number, low: number): boolean {
  return high <= 0xdbff && low >= 0xdc00 && low <= 0xdfff
}

const DATE = /^(\d{4})(?:-(0[1-9]|1[0-2])(?:-(0[1-9]|[12]\d|3[01]))?)?$/
const TIME_AND_ZONE =
  /^(?:[01]\d|2[0-3]):[0-5]\d:(?:[0-5]\d|60)(?:\.\d+)?(?:Z|[+-](?:(?:0\d|1[0-3]):[0-5]\d|14:00))$/
const DAYS = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]

function isDate(value: string): boolean {
  const found = DATE.exec(value)
  if (found === null || found[1] === '0000') return false
  const [, year = '', month, day] = found
  if (month === undefined || day === undefined) return true
  if (month === '02' && day === '29') return isLeap(Number(year))
  return Number(day) <= (DAYS[Number(month) - 1] ?? 0)
}

function isLeap(year: number): boolean {
  return year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0)
}

function isDateTime(value: string): boolean {
  return value.includes('T') ? isInstant(value) : isDate(value)
}

function isInstant(value: string): boolean {
  return (
    value.charAt(10) === 'T' && isDate(value.slice(0, 10)) && TIME_AND_ZONE.test(value.slice(11))
  )
}

function isBase64(value: string): boolean {
  const digits = /\s/.test(value) ? value.replace(/\s+/g, '') : value
  return digits.length > 0 && digits.length % 4 === 0 && /^[A-Za-z0-9+/]+={0,2}$/.test(digits)
}
