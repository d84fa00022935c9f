import { decodeJwt } from 'jose'
import { listClinicIds } from '../storage/index-states.ts'
import { NO_CLINIC } from './audit.ts'
import type { Context } from './context.ts'

const ASKED_AGAIN_AFTER_MS = 60_000

/**
 * In whose log a refused token is recorded: of the clinic that it names, when there is such a clinic. What it
 * says is not believed for anything else.
 */
export function claimedClinics(
  { db }: Pick<Context, 'db'>,
  monotonicMs: () => number = () => performance.now(),
): (token: string | undefined) => Promise<string> {
  let known: ReadonlySet<string> = new Set()
  let askedAt: number | undefined

  return async (token) => {
    const claimed = claimIn(token)
    if (claimed === undefined) return NO_CLINIC
    const at = monotonicMs()
    if (!known.has(claimed) && (askedAt === undefined || at - askedAt > ASKED_AGAIN_AFTER_MS)) {
      askedAt = at
      known = new Set(await db.asOwner(listClinicIds))
    }
    return known.has(claimed) ? claimed : NO_CLINIC
  }
}

function claimIn(token: string | undefined): string | undefined {
  if (token === undefined) return undefined
  try {
    const { clinic } = decodeJwt(token)
    return typeof clinic === 'string' ? clinic : undefined
  } catch {
    return undefined
  }
}
