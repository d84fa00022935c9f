import {
  foreignKey,
  index,
  integer,
  pgTable,
  primaryKey,
  text,
  unique,
  uuid,
} from 'drizzle-orm/pg-core'
import { bytes } from './bytes.ts'
import { instant } from './instant.ts'
import { clients } from './schema.ts'

/** Who of the clinic may sign in to the pages. Each is a client of its own, so the log tells them apart. */
export const staffAccounts = pgTable(
  'staff_accounts',
  {
    clinicId: uuid('clinic_id').notNull(),
    clientId: text('client_id').notNull(),
    /** As it is typed, in lower case. */
    login: text('login').notNull(),
    /** Sealed; see security/password.ts. */
    password: text('password').notNull(),
    /** Wrong passwords since the last right one. */
    failures: integer('failures').notNull().default(0),
    /** Until then no password is looked at. */
    lockedUntil: instant('locked_until'),
    createdAt: instant('created_at').notNull(),
  },
  (table) => [
    primaryKey({ columns: [table.clinicId, table.clientId] }),
    unique('staff_accounts_login').on(table.clinicId, table.login),
    foreignKey({
      columns: [table.clinicId, table.clientId],
      foreignColumns: [clients.clinicId, clients.clientId],
    }),
  ],
)

/** Who is signed in. */
export const staffSessions = pgTable(
  'staff_sessions',
  {
    clinicId: uuid('clinic_id').notNull(),
    /** SHA-256 of what the browser holds: the table lets nobody in. */
    session: bytes('session').notNull(),
    clientId: text('client_id').notNull(),
    startedAt: instant('started_at').notNull(),
    /** Of the last page that was asked for. */
    seenAt: instant('seen_at').notNull(),
  },
  (table) => [
    primaryKey({ columns: [table.clinicId, table.session] }),
    foreignKey({
      columns: [table.clinicId, table.clientId],
      foreignColumns: [staffAccounts.clinicId, staffAccounts.clientId],
    }).onDelete('cascade'),
    index('staff_sessions_client').on(table.clinicId, table.clientId),
  ],
)
