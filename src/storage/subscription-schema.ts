import { bigint, index, integer, pgTable, primaryKey, text, uuid } from 'drizzle-orm/pg-core'
import { instant } from './instant.ts'

/** Types of which a version may concern a subscription of the clinic: of all others nothing is noted. */
export const watchedTypes = pgTable(
  'watched_types',
  { clinicId: uuid('clinic_id').notNull(), type: text('type').notNull() },
  (table) => [primaryKey({ columns: [table.clinicId, table.type] })],
)

/** Versions that were written and of which nobody has decided yet whom they concern. */
export const writtenVersions = pgTable(
  'written_versions',
  {
    clinicId: uuid('clinic_id').notNull(),
    sequence: bigint('sequence', { mode: 'number' }).notNull().generatedAlwaysAsIdentity(),
    type: text('type').notNull(),
    id: text('id').notNull(),
    version: integer('version').notNull(),
    partnerId: uuid('partner_id'),
    at: instant('at').notNull(),
  },
  (table) => [primaryKey({ columns: [table.clinicId, table.sequence] })],
)

/** How far each subscription has come, beside the Subscription itself. */
export const subscriptionStates = pgTable(
  'subscription_states',
  {
    clinicId: uuid('clinic_id').notNull(),
    subscriptionId: text('subscription_id').notNull(),
    partnerId: uuid('partner_id'),
    /** The system that wrote it last, and what its token allowed: it is told no more than it may read. */
    clientId: text('client_id').notNull(),
    scope: text('scope').notNull(),
    topic: text('topic').notNull(),
    /** A JSON array of searches of the topic's type. */
    filters: text('filters').notNull(),
    /** As in the Subscription. */
    status: text('status').notNull(),
    /** When it was asked for: what happens from then on is counted. */
    countedSince: instant('counted_since').notNull(),
    /** Numbers of the last event, and of the last that was delivered, withheld or discarded. */
    lastNumber: integer('last_number').notNull().default(0),
    settledNumber: integer('settled_number').notNull().default(0),
    /** That failed since the last that did not. */
    attempts: integer('attempts').notNull().default(0),
    /** A code of subscription-error. */
    error: text('error'),
    lastSentAt: instant('last_sent_at'),
    /** When there is something to do; null: not before something happens. */
    dueAt: instant('due_at'),
    /** Whoever is at it, and until when nobody else is. */
    lease: text('lease'),
    leasedUntil: instant('leased_until'),
  },
  (table) => [
    primaryKey({ columns: [table.clinicId, table.subscriptionId] }),
    index('subscription_states_due').on(table.clinicId, table.dueAt),
  ],
)

/** What happened, as each subscription counts it: which version of what, not what it says. */
export const subscriptionEvents = pgTable(
  'subscription_events',
  {
    clinicId: uuid('clinic_id').notNull(),
    subscriptionId: text('subscription_id').notNull(),
    number: integer('number').notNull(),
    partnerId: uuid('partner_id'),
    type: text('type').notNull(),
    id: text('id').notNull(),
    version: integer('version').notNull(),
    at: instant('at').notNull(),
  },
  (table) => [primaryKey({ columns: [table.clinicId, table.subscriptionId, table.number] })],
)
