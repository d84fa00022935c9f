import { makeAuditMonths } from '../storage/audit-log.ts'
import { clinicsWithPending, finishWriters, recordsEver } from '../storage/audit-reading.ts'
import { AT_REST_AFTER_MS } from './audit-lanes.ts'
import { projectAudit } from './audit-projection.ts'
import type { Context } from './context.ts'
import { type Repeated, repeated } from './repeated.ts'

const EVERY_MS = 5_000
/**
 * With more calls than this in all processes since the last look, AuditEvents are made later: they cost
 * more than a read.
 */
const BUSY = 100
/** But not longer than this: who asks for them then waits for what was not made. */
const POSTPONED_AT_MOST = 60
const MONTHS_EVERY_MS = 12 * 3_600_000

/** Every few seconds makes AuditEvents of what came into the log; twice a day the months to come. */
export function keepAudit(
  context: Pick<Context, 'db' | 'audit' | 'baseUrl' | 'now' | 'newId'>,
  onFailure: (error: unknown) => void,
): Repeated {
  let isStopped = false
  // At the first look too: a service may not run for half a day.
  let sinceMonths = MONTHS_EVERY_MS
  let counted = 0
  let postponed = 0

  // Also while there is much to do: without its month a record goes among those of no month.
  const makeMonths = async (): Promise<void> => {
    sinceMonths += EVERY_MS
    if (sinceMonths < MONTHS_EVERY_MS) return
    sinceMonths = 0
    const now = context.now()
    const restingSince = new Date(now.getTime() - AT_REST_AFTER_MS).toISOString()
    await context.db.asOwner(async (tx) => {
      await makeAuditMonths(tx, now.toISOString())
      await finishWriters(tx, { restingSince, now: now.toISOString() })
    })
  }

  /** Has much come in since this was last asked? */
  const isBusy = async (): Promise<boolean> => {
    const before = counted
    counted = await context.db.asOwner(recordsEver)
    return counted - before > BUSY
  }

  const once = async (): Promise<void> => {
    try {
      await makeMonths()
      postponed = (await isBusy()) ? postponed + 1 : 0
      const isLate = postponed >= POSTPONED_AT_MOST
      if (postponed > 0 && !isLate) return
      const goesOn = async () => !isStopped && (isLate || !(await isBusy()))
      for (const clinicId of await context.db.asOwner(clinicsWithPending))
        if (!isStopped) await projectAudit(context, clinicId, goesOn)
      if (isLate) postponed = 0
    } catch (error) {
      onFailure(error)
    }
  }
  const repetition = repeated(EVERY_MS, once)
  return {
    stop: () => {
      isStopped = true
      return repetition.stop()
    },
  }
}
