import type { Identity } from '../security/access-token.ts'
import { activeClient } from '../storage/clients.ts'
import type { Database } from '../storage/database.ts'

/** A client that is revoked is refused within this time, in every process. */
const ASK_AGAIN_MS = 30_000
const REMEMBERED_CLIENTS = 1_000

/** Is the client of a token still registered? Requests that come meanwhile share one statement. */
export function clientActivity(
  db: Pick<Database, 'readInClinic'>,
  now: () => Date,
): (identity: Identity) => Promise<boolean> {
  const asked = new Map<string, { readonly atMs: number; readonly active: Promise<boolean> }>()

  return ({ clinicId, clientId, partnerId }) => {
    const key = JSON.stringify([clinicId, partnerId, clientId])
    const atMs = now().getTime()
    const known = asked.get(key)
    if (known !== undefined && Math.abs(atMs - known.atMs) < ASK_AGAIN_MS) return known.active
    const partner = partnerId === undefined ? {} : { partnerId }
    const active = db
      .readInClinic({ clinicId, ...partner }, activeClient({ clinicId, clientId, ...partner }))
      .then((rows) => rows.length > 0)
    if (asked.size >= REMEMBERED_CLIENTS) asked.clear()
    const entry = { atMs, active }
    asked.set(key, entry)
    active.catch(() => {
      if (asked.get(key) === entry) asked.delete(key)
    })
    return active
  }
}
