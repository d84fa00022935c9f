import { timestamp } from 'drizzle-orm/pg-core'

/** A column of instants, which are ISO texts in memory. */
export const instant = (name: string) => timestamp(name, { withTimezone: true, mode: 'string' })

/** A timestamptz as it is written in meta.lastUpdated: ISO in UTC, to the millisecond. */
export const isoInstant = (column: string): string =>
  `to_char(${column} at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"')`
