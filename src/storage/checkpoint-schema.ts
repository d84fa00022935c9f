import { bigint, pgTable, primaryKey, text, uuid } from 'drizzle-orm/pg-core'
import { bytes } from './bytes.ts'
import { instant } from './instant.ts'

/** What stood in a clinic's audit log at a moment, signed: never changed, never deleted. */
export const auditCheckpoints = pgTable(
  'audit_checkpoints',
  {
    clinicId: uuid('clinic_id').notNull(),
    /** 1, 2, 3 … without gap. */
    number: bigint('number', { mode: 'number' }).notNull(),
    takenAt: instant('taken_at').notNull(),
    /** JSON as it was signed. */
    payload: text('payload').notNull(),
    /** A JWS without its payload. */
    signature: text('signature').notNull(),
  },
  (table) => [primaryKey({ columns: [table.clinicId, table.number] })],
)

/** Which records of a chain a checkpoint covers: what its payload says too, to be found by chain. */
export const auditRanges = pgTable(
  'audit_ranges',
  {
    clinicId: uuid('clinic_id').notNull(),
    writer: uuid('writer').notNull(),
    first: bigint('first', { mode: 'number' }).notNull(),
    last: bigint('last', { mode: 'number' }).notNull(),
    number: bigint('number', { mode: 'number' }).notNull(),
    /** The hash of the last. */
    head: bytes('head').notNull(),
  },
  (table) => [primaryKey({ columns: [table.clinicId, table.writer, table.last] })],
)

/** Keys that sign checkpoints. They belong to the service as a whole. */
export const auditKeys = pgTable('audit_keys', {
  keyId: text('key_id').primaryKey(),
  privateJwk: text('private_jwk').notNull(),
  createdAt: instant('created_at').notNull(),
})
