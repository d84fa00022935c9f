import { sql } from 'drizzle-orm'
import {
  doublePrecision,
  index,
  integer,
  numeric,
  pgTable,
  primaryKey,
  text,
  uuid,
} from 'drizzle-orm/pg-core'
import { instant } from './instant.ts'

// The tables that a search reads beside the typed columns of `resources`; index-tables.ts fills them.

/**
 * Narrow index tables. A row says what stands at one place of a resource (`path`, see the search
 * parameters); parameters that read the same place share its rows. The ordinal tells rows of one resource
 * apart.
 */
const indexRow = {
  clinicId: uuid('clinic_id').notNull(),
  type: text('type').notNull(),
  id: text('id').notNull(),
  partnerId: uuid('partner_id'),
  path: text('path').notNull(),
  ordinal: integer('ordinal').notNull(),
}

/** Tokens: identifiers, and every coding that has no column above. An absent system is ''. */
export const indexTokens = pgTable(
  'index_tokens',
  { ...indexRow, system: text('system').notNull(), code: text('code').notNull() },
  (table) => [
    primaryKey({ columns: [table.clinicId, table.type, table.id, table.ordinal] }),
    index('index_tokens_code').on(
      table.clinicId,
      table.type,
      table.path,
      table.code,
      table.system,
      table.id,
    ),
    index('index_tokens_system').on(table.clinicId, table.type, table.path, table.system, table.id),
  ],
)

/** References to resources of this service, other than those in `patient_id`. */
export const indexReferences = pgTable(
  'index_references',
  { ...indexRow, targetType: text('target_type').notNull(), targetId: text('target_id').notNull() },
  (table) => [
    primaryKey({ columns: [table.clinicId, table.type, table.id, table.ordinal] }),
    index('index_references_target').on(
      table.clinicId,
      table.targetId,
      table.targetType,
      table.type,
      table.path,
      table.id,
    ),
  ],
)

/** Strings, folded to lower case without accents, and as they are for `:exact`. */
export const indexStrings = pgTable(
  'index_strings',
  { ...indexRow, value: text('value').notNull(), exact: text('exact').notNull() },
  (table) => [
    primaryKey({ columns: [table.clinicId, table.type, table.id, table.ordinal] }),
    index('index_strings_prefix').on(
      table.clinicId,
      table.type,
      table.path,
      sql`${table.value} text_pattern_ops`,
    ),
  ],
)

/** URIs, canonicals (without their version) and references that leave this service. */
export const indexUris = pgTable(
  'index_uris',
  { ...indexRow, value: text('value').notNull(), version: text('version').notNull() },
  (table) => [
    primaryKey({ columns: [table.clinicId, table.type, table.id, table.ordinal] }),
    index('index_uris_value').on(
      table.clinicId,
      table.type,
      table.path,
      sql`${table.value} text_pattern_ops`,
    ),
  ],
)

/** Dates as the instants they span, other than those in `date_start` and `date_end`. */
export const indexDates = pgTable(
  'index_dates',
  { ...indexRow, start: instant('start').notNull(), end: instant('end').notNull() },
  (table) => [
    primaryKey({ columns: [table.clinicId, table.type, table.id, table.ordinal] }),
    index('index_dates_start').on(table.clinicId, table.type, table.path, table.start, table.end),
    index('index_dates_end').on(table.clinicId, table.type, table.path, table.end),
  ],
)

/**
 * A decimal as the nearest double. Under row-level security an index is used for comparisons only that
 * tell nothing about a row in their errors; PostgreSQL holds that of doubles, not of decimals. The ends are
 * the bounds of a double, where the exact decimal decides alone.
 */
const near = (decimal: 'low' | 'high') =>
  sql.raw(
    `case when abs("${decimal}") < 1e-300 then 0::double precision else least(greatest("${decimal}", -1e300), 1e300)::double precision end`,
  )

/** Numbers and quantities; a range has two ends, an open end is infinite. */
export const indexQuantities = pgTable(
  'index_quantities',
  {
    ...indexRow,
    low: numeric('low').notNull(),
    high: numeric('high').notNull(),
    system: text('system').notNull(),
    code: text('code').notNull(),
    unit: text('unit').notNull(),
    lowNear: doublePrecision('low_near').generatedAlwaysAs(() => near('low')),
    highNear: doublePrecision('high_near').generatedAlwaysAs(() => near('high')),
  },
  (table) => [
    primaryKey({ columns: [table.clinicId, table.type, table.id, table.ordinal] }),
    index('index_quantities_low').on(
      table.clinicId,
      table.type,
      table.path,
      table.lowNear,
      table.highNear,
    ),
    index('index_quantities_high').on(table.clinicId, table.type, table.path, table.highNear),
  ],
)

/**
 * Two values that are true of the same repeating element, for composite parameters: a token first, then
 * what its kind needs. `path` is the element's and both halves', see `pairPath`.
 */
export const indexPairs = pgTable(
  'index_pairs',
  {
    ...indexRow,
    system: text('system').notNull(),
    code: text('code').notNull(),
    secondSystem: text('second_system'),
    secondCode: text('second_code'),
    unit: text('unit'),
    low: numeric('low'),
    high: numeric('high'),
    targetType: text('target_type'),
    targetId: text('target_id'),
  },
  (table) => [
    primaryKey({ columns: [table.clinicId, table.type, table.id, table.ordinal] }),
    index('index_pairs_code').on(table.clinicId, table.type, table.path, table.code, table.low),
  ],
)

/** With which table of search parameters the index of a clinic was written. */
export const indexStates = pgTable('index_states', {
  clinicId: uuid('clinic_id').primaryKey(),
  signature: text('signature').notNull(),
})
