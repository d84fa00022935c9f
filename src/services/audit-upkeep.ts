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

  const once = async (): Promise<void> => {
    try {
      await makeMonths()
      const ever = await context.db.asOwner(recordsEver)
      const isBusy = ever - counted > BUSY
      counted = ever
      postponed = isBusy ? postponed + 1 : 0
      if (isBusy && postponed < POSTPONED_AT_MOST) return
      for (const clinicId of await context.db.asOwner(clinicsWithPending))
        if (!isStopped) await projectAudit(context, clinicId)
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
