import { sql } from 'drizzle-orm'
import { check, pgTable, primaryKey, text, uuid } from 'drizzle-orm/pg-core'
import { instant } from './instant.ts'

/** What became of the cards of CDS Hooks; about no child that could be named. Only ever added to. */
export const adviceFeedback = pgTable(
  'advice_feedback',
  {
    clinicId: uuid('clinic_id').notNull(),
    clientId: text('client_id').notNull(),
    service: text('service').notNull(),
    card: uuid('card').notNull(),
    outcomeAt: instant('outcome_at').notNull(),
    partnerId: uuid('partner_id'),
    outcome: text('outcome').$type<'accepted' | 'overridden'>().notNull(),
    reasonSystem: text('reason_system'),
    reasonCode: text('reason_code'),
    receivedAt: instant('received_at').notNull(),
  },
  (table) => [
    primaryKey({
      columns: [table.clinicId, table.clientId, table.service, table.card, table.outcomeAt],
    }),
    check('advice_feedback_outcome', sql`${table.outcome} in ('accepted', 'overridden')`),
  ],
)
