import { pgTable, primaryKey, text, uuid } from 'drizzle-orm/pg-core'
import { instant } from './instant.ts'

/**
 * When a partner may not read the record of a child: kept with every change of a consent, from then on as
 * far as the days of the consents tell. The policy `open_records` hides what is about the child meanwhile.
 */
export const closedRecords = pgTable(
  'closed_records',
  {
    clinicId: uuid('clinic_id').notNull(),
    partnerId: uuid('partner_id').notNull(),
    /** The partner's own copy. */
    patientId: text('patient_id').notNull(),
    since: instant('since').notNull(),
    /** Exclusive; null: until a consent changes. */
    until: instant('until'),
  },
  (table) => [
    primaryKey({ columns: [table.clinicId, table.partnerId, table.patientId, table.since] }),
  ],
)
