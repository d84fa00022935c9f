import { types } from 'pg'

const { builtins } = types
const INSTANT = builtins.TIMESTAMPTZ
const AS_TEXT: ReadonlySet<unknown> = new Set([
  builtins.DATE,
  builtins.TIMESTAMP,
  builtins.INTERVAL,
])

/** The form PostgreSQL writes when the session is in UTC, as every session of ours is. */
const UTC_INSTANT = /^(\d{4,}-\d\d-\d\d) (\d\d:\d\d:\d\d(?:\.\d+)?)\+00$/

const asText = (text: string) => text

/** `2026-03-01 07:30:00.5+00` → `2026-03-01T07:30:00.5Z`; no digit is lost, as it would be in a Date. */
export function instantFromRow(text: string): string {
  return text.replace(UTC_INSTANT, '$1T$2Z')
}

/**
 * How values leave the database. The driver would make a calendar date the midnight of wherever the
 * service runs; dates stay text here, and instants are ISO text in UTC.
 *
 * int8 and numeric stay text, as the driver has them: a number would lose digits. A count that is known
 * to be small is cast in SQL (`count(*)::int`).
 */
export const typeParser: typeof types.getTypeParser = (type, format) => {
  if (type === INSTANT) return instantFromRow
  const parser: unknown = AS_TEXT.has(type) ? asText : types.getTypeParser(type, format)
  return parser
}
