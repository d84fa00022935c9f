import { z } from 'zod'
import { type AuditRecord, RENDERING } from '../fhir/audit-record.ts'
import { EXCHANGE_CODES } from '../fhir/codes.ts'
import { OPEN_REMINDER } from '../fhir/reminder-task.ts'
import { TASK_CODES } from '../fhir/workflow-codes.ts'
import { triageOf } from '../storage/child-locks.ts'
import { serialise } from '../storage/idempotency.ts'
import type { JobKind, JobQueue } from '../storage/job-queue.ts'
import { insertVersions, type NewVersion } from '../storage/resource-writes.ts'
import { BEGINNING, clinicIds, concernedChildren } from '../storage/reminders.ts'
import type { Tx } from '../storage/transaction.ts'
import { reminderVersions } from './child-reminders.ts'
import type { Context } from './context.ts'
import { auditedVersions } from './noted.ts'

/** Resources whose children are looked at in one go. */
const TOGETHER = 100

const REMINDERS: JobKind<{ readonly clinicId: string }> = {
  name: 'referral-reminders',
  data: z.object({ clinicId: z.uuid() }),
}
const ROUND = 'referral-reminder-round'
/** In UTC. Limits are days, so most rounds find what came in late or what is settled. */
const EACH_HOUR = '17 * * * *'

/**
 * Looks after the referrals of every clinic, a job a clinic. What is due is found in the record alone, so a round
 * that was lost is made up by the next.
 */
export async function keepReminders(context: Context, queue: JobQueue): Promise<void> {
  await queue.work(REMINDERS, 1, ({ clinicId }) => remind(context, clinicId))
  await queue.every(ROUND, EACH_HOUR, async () => {
    for (const clinicId of await context.db.asOwner(clinicIds))
      await queue.send(REMINDERS, clinicId, { clinicId })
  })
}

/** The children of open referrals, of visits to come, and of reminders that may have lost their cause. */
const LOOKED_FOR = [
  { type: 'ServiceRequest', status: 'active', code: EXCHANGE_CODES.referral.code },
  { type: 'ServiceRequest', status: 'active', code: EXCHANGE_CODES.followUp.code },
  ...OPEN_REMINDER.map((status) => ({ type: 'Task', status, code: TASK_CODES.reminder.code })),
]

/**
 * Raises and closes the reminders of a clinic's referrals. Done again, or twice at once, it changes nothing more;
 * a child whose record cannot be read stops no other one.
 *
 * @throws what the first child failed with, when all others have had their turn
 */
export async function remind(
  context: Context,
  clinicId: string,
  together = TOGETHER,
): Promise<void> {
  const failures: unknown[] = []
  for (const of of LOOKED_FOR)
    for (let after = BEGINNING, isMore = true; isMore; ) {
      const found = await context.db.readingInClinic({ clinicId }, (tx) =>
        concernedChildren(tx, clinicId, of, { after, limit: together }),
      )
      for (const child of await inNeed(
        context,
        clinicId,
        found.map(({ patientId }) => patientId),
      ))
        await remindOfChild(context, clinicId, child).catch((error: unknown) =>
          failures.push(error),
        )
      after = found.at(-1) ?? after
      isMore = found.length === together
    }
  if (failures.length > 0) throw failures[0]
}

/** Of some children those about whom something is to be written; looked at alone where one cannot be read. */
async function inNeed(
  context: Context,
  clinicId: string,
  patientIds: readonly string[],
): Promise<readonly string[]> {
  const children = [...new Set(patientIds)]
  if (children.length === 0) return []
  try {
    const versions = await context.db.readingInClinic({ clinicId }, (tx) =>
      reminderVersions(tx, context, clinicId, children),
    )
    return [...new Set(versions.flatMap(({ search }) => search.patientId ?? []))]
  } catch {
    return children
  }
}

async function remindOfChild(context: Context, clinicId: string, child: string): Promise<void> {
  const sealing = context.audit.sealing(clinicId)
  try {
    const isWritten = await context.db.inClinic({ clinicId }, async (tx) => {
      const versions = await written(tx, context, clinicId, child)
      if (versions.length > 0) await sealing.write(tx, recordOf(context, child, versions))
      return versions.length > 0
    })
    if (isWritten) sealing.committed()
  } catch (error) {
    sealing.failed()
    throw error
  }
}

async function written(
  tx: Tx,
  context: Context,
  clinicId: string,
  child: string,
): Promise<readonly NewVersion[]> {
  // What is being written about the child ends first, and is seen.
  await serialise(tx, [triageOf(clinicId, child)])
  const versions = await reminderVersions(tx, context, clinicId, [child])
  await insertVersions(tx, clinicId, versions)
  return versions
}

const recordOf = (
  { newId }: Context,
  child: string,
  versions: readonly NewVersion[],
): AuditRecord => ({
  v: RENDERING,
  kind: 'reminder',
  interaction: 'referral-reminders',
  action: versions.some(({ version }) => version === 1) ? 'C' : 'U',
  outcome: 0,
  request: newId(),
  about: auditedVersions(versions),
  patients: [child],
})
