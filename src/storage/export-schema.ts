import { pgTable, primaryKey, text, uuid } from 'drizzle-orm/pg-core'
import { instant } from './instant.ts'

/** Bulk exports that were asked for. Nothing is produced in advance: a file is read when it is fetched. */
export const bulkExports = pgTable(
  'exports',
  {
    clinicId: uuid('clinic_id').notNull(),
    exportId: text('export_id').notNull(),
    clientId: text('client_id').notNull(),
    partnerId: uuid('partner_id'),
    /** What was asked, as JSON (services/export.ts). */
    request: text('request').notNull(),
    /** Everything is as it was at this instant. */
    at: instant('at').notNull(),
    expiresAt: instant('expires_at').notNull(),
  },
  (table) => [primaryKey({ columns: [table.clinicId, table.exportId] })],
)
