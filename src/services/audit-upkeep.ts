import { makeAuditMonths } from '../storage/audit-log.ts'
import { clinicsWithPending } from '../storage/audit-reading.ts'
import { projectAudit } from './audit-projection.ts'
import type { Context } from './context.ts'

const EVERY_MS = 5_000
const MONTHS_EVERY_MS = 12 * 3_600_000

export interface Upkeep {
  readonly stop: () => Promise<void>
}

/** Every few seconds makes AuditEvents of what came into the log; twice a day the months to come. */
export function keepAudit(
  context: Pick<Context, 'db' | 'baseUrl' | 'now'>,
  onFailure: (error: unknown) => void,
): Upkeep {
  let isStopped = false
  let sinceMonths = 0
  let timer: NodeJS.Timeout | undefined
  let running: Promise<void> = Promise.resolve()

  const once = async (): Promise<void> => {
    try {
      for (const clinicId of await context.db.asOwner(clinicsWithPending))
        if (!isStopped) await projectAudit(context, clinicId)
      sinceMonths += EVERY_MS
      if (sinceMonths < MONTHS_EVERY_MS) return
      sinceMonths = 0
      await context.db.asOwner((tx) => makeAuditMonths(tx, context.now().toISOString()))
    } catch (error) {
      onFailure(error)
    }
  }
  const later = (): void => {
    if (isStopped) return
    timer = setTimeout(() => {
      running = once().then(later)
    }, EVERY_MS).unref()
  }
  later()
  return {
    stop: async () => {
      isStopped = true
      clearTimeout(timer)
      await running
    },
  }
}
