import { sql } from 'drizzle-orm'
import {
  boolean,
  check,
  index,
  integer,
  pgTable,
  primaryKey,
  text,
  uuid,
} from 'drizzle-orm/pg-core'
import { instant } from './instant.ts'
import { REGIMES } from '../domain/law/consent-gate.ts'

// The tables as the query builder sees them. `clinic_id` leads every key and index: the clinic is the
// tenant and the distribution key. Policies and grants stand in the migration, beside each table.

/** The organisations that run the service. */
export const clinics = pgTable('clinics', {
  clinicId: uuid('clinic_id').primaryKey(),
  name: text('name').notNull(),
  createdAt: instant('created_at').notNull(),
})

/** Referring organisations, each registered with one clinic. */
export const partners = pgTable(
  'partners',
  {
    clinicId: uuid('clinic_id').notNull(),
    partnerId: uuid('partner_id').notNull(),
    name: text('name').notNull(),
    createdAt: instant('created_at').notNull(),
    /** The law that what it sends is under; one that nobody stated is held to all of them. */
    regime: text('regime', { enum: REGIMES }).notNull().default('unknown'),
    /** The law for which it was last decided which records are open to it; null: for none yet. */
    settledRegime: text('settled_regime', { enum: REGIMES }),
  },
  (table) => [
    primaryKey({ columns: [table.clinicId, table.partnerId] }),
    check('partners_regime', sql`${table.regime} in ('part-c', 'ferpa', 'hipaa', 'unknown')`),
  ],
)

/** Systems that may ask for a token: of the clinic's staff (no partner) or of a partner. */
export const clients = pgTable(
  'clients',
  {
    clinicId: uuid('clinic_id').notNull(),
    clientId: text('client_id').notNull(),
    partnerId: uuid('partner_id'),
    name: text('name').notNull(),
    /** The most that may be granted, SMART scopes separated by spaces. */
    scope: text('scope').notNull(),
    createdAt: instant('created_at').notNull(),
    /** Public keys that its assertions are signed with, a JSON Web Key Set; or where that is read. */
    jwks: text('jwks'),
    jwksUrl: text('jwks_url'),
    /** From then on it gets no token, and what it holds is refused. */
    revokedAt: instant('revoked_at'),
  },
  (table) => [
    primaryKey({ columns: [table.clinicId, table.clientId] }),
    check('clients_keys', sql`${table.jwks} is null or ${table.jwksUrl} is null`),
  ],
)

/** Signed assertions that a token was given for: each is good once, in whichever process. */
export const usedAssertions = pgTable(
  'used_assertions',
  {
    clinicId: uuid('clinic_id').notNull(),
    clientId: text('client_id').notNull(),
    jti: text('jti').notNull(),
    /** When it would be refused as expired, so that the row is of no more use. */
    expiresAt: instant('expires_at').notNull(),
  },
  (table) => [primaryKey({ columns: [table.clinicId, table.clientId, table.jti] })],
)

/** Keys that sign our access tokens; of the service, not of a clinic. Never readable for app_service. */
export const signingKeys = pgTable('signing_keys', {
  keyId: text('key_id').primaryKey(),
  privateJwk: text('private_jwk').notNull(),
  createdAt: instant('created_at').notNull(),
  /** From then on nothing that it signed holds. The row stays: links to pages are made of the oldest. */
  retiredAt: instant('retired_at'),
})

const version = {
  clinicId: uuid('clinic_id').notNull(),
  type: text('type').notNull(),
  id: text('id').notNull(),
  version: integer('version').notNull(),
  /** The partner in whose compartment it is; none means the clinic's own. */
  partnerId: uuid('partner_id'),
  deleted: boolean('deleted').notNull(),
  /** The exact JSON that is returned; empty for a deletion. */
  body: text('body').notNull(),
  updatedAt: instant('updated_at').notNull(),
}

/** The current version of every resource, with the search parameters that carry most traffic. */
export const resources = pgTable(
  'resources',
  {
    ...version,
    patientId: text('patient_id'),
    codeSystem: text('code_system'),
    code: text('code'),
    status: text('status'),
    dateStart: instant('date_start'),
    dateEnd: instant('date_end'),
    /** The child to whose record it belongs by what it refers to, where it does not name the child itself. */
    recordOf: text('record_of'),
    /** Whether the clinic wrote its first version, also where a partner sees it. */
    byClinic: boolean('by_clinic')
      .notNull()
      .default(sql`(coalesce(current_setting('app.author', true), '') = '')`),
    /** Of the first version: the order of pages, which an update does not change. */
    createdAt: instant('created_at').notNull(),
  },
  (table) => [
    primaryKey({ columns: [table.clinicId, table.type, table.id] }),
    index('resources_patient').on(table.clinicId, table.patientId, table.type, table.dateStart),
    index('resources_patient_code').on(
      table.clinicId,
      table.type,
      table.patientId,
      table.code,
      table.dateStart,
    ),
    index('resources_code').on(table.clinicId, table.type, table.code, table.dateStart),
    // The order of a search by code alone: the newest first.
    index('resources_code_created').on(
      table.clinicId,
      table.type,
      table.code,
      table.createdAt,
      table.id,
    ),
    index('resources_status').on(
      table.clinicId,
      table.type,
      table.status,
      table.createdAt,
      table.id,
    ),
    index('resources_updated').on(table.clinicId, table.type, table.updatedAt, table.id),
    // A partner's own, however much of others there is.
    index('resources_partner').on(
      table.clinicId,
      table.partnerId,
      table.type,
      table.createdAt,
      table.id,
    ),
    index('resources_created').on(table.clinicId, table.type, table.createdAt, table.id),
    index('resources_date').on(table.clinicId, table.type, table.dateStart, table.dateEnd),
    index('resources_date_end').on(table.clinicId, table.type, table.dateEnd),
  ],
)

/** Every version that ever was; a new version is a new row. */
export const resourceVersions = pgTable(
  'resource_versions',
  {
    ...version,
    /** For the policy alone: a record that is closed to a partner is closed with its history. */
    patientId: text('patient_id'),
  },
  (table) => [
    primaryKey({ columns: [table.clinicId, table.type, table.id, table.version] }),
    index('resource_versions_updated').on(table.clinicId, table.type, table.updatedAt, table.id),
    index('resource_versions_all').on(table.clinicId, table.updatedAt, table.type, table.id),
  ],
)

/** Answers to requests that carried an Idempotency-Key, so that a retry gets the same answer. */
export const idempotentAnswers = pgTable(
  'idempotent_answers',
  {
    clinicId: uuid('clinic_id').notNull(),
    clientId: text('client_id').notNull(),
    key: text('key').notNull(),
    partnerId: uuid('partner_id'),
    requestHash: text('request_hash').notNull(),
    answer: text('answer').notNull(),
    createdAt: instant('created_at').notNull(),
  },
  (table) => [primaryKey({ columns: [table.clinicId, table.clientId, table.key] })],
)
