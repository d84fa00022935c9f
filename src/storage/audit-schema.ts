import { sql } from 'drizzle-orm'
import { bigint, index, pgTable, primaryKey, text, uuid } from 'drizzle-orm/pg-core'
import { bytes } from './bytes.ts'
import { instant } from './instant.ts'

/**
 * One row per call on health data, chained by hashes: never changed, never deleted. Partitioned by month in
 * the migration, which the query builder does not see.
 */
export const auditLog = pgTable(
  'audit_log',
  {
    clinicId: uuid('clinic_id').notNull(),
    recorded: instant('recorded').notNull(),
    /** One lane of one process; each has a chain of its own. */
    writer: uuid('writer').notNull(),
    sequence: bigint('sequence', { mode: 'number' }).notNull(),
    /** Of the AuditEvent that is made of it. */
    id: uuid('id').notNull(),
    record: text('record').notNull(),
    previous: bytes('previous').notNull(),
    hash: bytes('hash').notNull(),
  },
  (table) => [
    primaryKey({ columns: [table.clinicId, table.recorded, table.writer, table.sequence] }),
    index('audit_log_writer').on(table.clinicId, table.writer, table.sequence),
  ],
)

/** The chains of the log, and how far each was made into AuditEvents. */
export const auditWriters = pgTable(
  'audit_writers',
  {
    clinicId: uuid('clinic_id').notNull(),
    writer: uuid('writer').notNull(),
    startedAt: instant('started_at').notNull(),
    projected: bigint('projected', { mode: 'number' }).notNull().default(0),
    /** Nothing is added any more, and all of it was made into AuditEvents and is covered by a checkpoint. */
    finishedAt: instant('finished_at'),
  },
  (table) => [
    primaryKey({ columns: [table.clinicId, table.writer] }),
    index('audit_writers_unfinished')
      .on(table.clinicId, table.writer)
      .where(sql`${table.finishedAt} is null`),
  ],
)
