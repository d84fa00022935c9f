import { z } from 'zod'
import { AppError } from '../errors.ts'
import { auditEvent } from '../fhir/audit-event.ts'
import { type AuditRecord, RENDERING } from '../fhir/audit-record.ts'
import { type LoggedRow, pendingAudit, wasProjected } from '../storage/audit-reading.ts'
import { serialise } from '../storage/idempotency.ts'
import { insertVersions, type NewVersion } from '../storage/resource-writes.ts'
import type { Context } from './context.ts'
import { firstVersion } from './new-version.ts'
import { auditedVersions } from './noted.ts'
import { noteOpenings, openingsIn } from './reply-openings.ts'

/** So many AuditEvents are written in one transaction. */
const BATCH = 250

const Thing = z.object({
  ref: z.string(),
  version: z.number().optional(),
  did: z.enum(['read', 'created', 'updated', 'deleted']),
})

const Kept = z.object({
  v: z.union([z.literal(1), z.literal(2)]),
  kind: z.enum(['rest', 'signin', 'export', 'configuration', 'notification', 'review', 'reminder']),
  interaction: z.string(),
  action: z.enum(['C', 'R', 'U', 'D', 'E']),
  outcome: z.union([z.literal(0), z.literal(4), z.literal(8)]),
  status: z.number().optional(),
  client: z.string().optional(),
  token: z.string().optional(),
  partner: z.string().optional(),
  user: z.string().optional(),
  address: z.string().optional(),
  server: z.string().optional(),
  request: z.string(),
  purpose: z.string().optional(),
  query: z.string().optional(),
  headOnly: z.boolean().optional(),
  about: z.array(Thing),
  patients: z.array(z.string()),
  consent: z.enum(['permit', 'deny']).optional(),
  period: z.object({ start: z.string(), end: z.string() }).optional(),
  reason: z.string().optional(),
})

/** A record as it stands in the log, read. Throws when it is none of ours. */
export const readAuditRecord = (text: string): AuditRecord => Kept.parse(JSON.parse(text))

type Projecting = Pick<Context, 'db' | 'audit' | 'baseUrl' | 'now' | 'newId'>

/**
 * Makes AuditEvents of what came into a clinic's log, so that the usual search finds them, and notes what
 * replies were opened by it. Several processes may ask at once; each record is made once.
 *
 * @returns whether all were made; false when it was not to go on
 */
export async function projectAudit(
  context: Projecting,
  clinicId: string,
  goesOn: () => Promise<boolean> = () => Promise.resolve(true),
): Promise<boolean> {
  for (;;) {
    if ((await projectBatch(context, clinicId)) < BATCH) return true
    if (!(await goesOn())) return false
  }
}

/** A search waits no longer for what was not made yet; it says what it does not hold. */
const SEARCH_WAITS_MS = 500
/** What is wrong when it is not whole waits longer, and is then refused. */
const REPORT_WAITS_MS = 20_000

const during = (ms: number): (() => Promise<boolean>) => {
  const end = performance.now() + ms
  return () => Promise.resolve(performance.now() < end)
}

/** Before a search of AuditEvents. Not before a read: only what was made has an id that somebody knows. */
export const makeEvents = async (context: Projecting, clinicId: string): Promise<void> => {
  await projectAudit(context, clinicId, during(SEARCH_WAITS_MS))
}

/** Before what has to rest on every call that there was. Throws when it is too much for one request. */
export async function makeAllEvents(context: Projecting, clinicId: string): Promise<void> {
  if (await projectAudit(context, clinicId, during(REPORT_WAITS_MS))) return
  throw new AppError(
    'unavailable',
    'So many calls came in that their events are still being made. Ask again in a moment.',
  )
}

async function projectBatch(context: Projecting, clinicId: string): Promise<number> {
  const sealing = context.audit.sealing(clinicId)
  try {
    const { made, hasWritten } = await context.db.inClinic({ clinicId }, async (tx) => {
      await serialise(tx, [`audit projection ${clinicId}`])
      const rows = await pendingAudit(tx, clinicId, BATCH)
      const read = rows.map((row) => ({ row, record: readAuditRecord(row.record) }))
      const events = read.map(({ row, record }) => versionOf(context, clinicId, row, record))
      await insertVersions(tx, clinicId, events)
      await wasProjected(tx, clinicId, rows)
      const openings = read.flatMap(({ row, record }) => openingsIn(record, row.recorded))
      const written = await noteOpenings(tx, context, clinicId, openings)
      if (written.length > 0) await sealing.write(tx, recordOfOpenings(context, written))
      return { made: rows.length, hasWritten: written.length > 0 }
    })
    if (hasWritten) sealing.committed()
    return made
  } catch (error) {
    sealing.failed()
    throw error
  }
}

/** The exchange itself writes down that replies were opened. */
const recordOfOpenings = (
  { newId }: Pick<Context, 'newId'>,
  written: readonly NewVersion[],
): AuditRecord => ({
  v: RENDERING,
  kind: 'rest',
  interaction: 'update',
  action: 'U',
  outcome: 0,
  request: newId(),
  about: auditedVersions(written),
  patients: [...new Set(written.flatMap(({ search }) => search.patientId ?? []))],
  reason: 'reply-opened',
})

/** The AuditEvent of a row, as it is written into the store. */
export const eventVersion = (
  context: Pick<Context, 'baseUrl'>,
  clinicId: string,
  row: LoggedRow,
): NewVersion => versionOf(context, clinicId, row, readAuditRecord(row.record))

const versionOf = (
  { baseUrl }: Pick<Context, 'baseUrl'>,
  clinicId: string,
  { id, recorded }: LoggedRow,
  record: AuditRecord,
): NewVersion =>
  firstVersion(auditEvent({ id, recorded, clinicId, record }), {
    partnerId: undefined,
    updatedAt: recorded,
    baseUrl,
  })
