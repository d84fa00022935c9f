import { randomUUID } from 'node:crypto'
import type { Tokens } from './security/access-token.ts'
import { prepare } from './services/clinic-setup.ts'
import { rotatingTokens } from './services/signing-keys.ts'
import type { Database } from './storage/database.ts'
import { listSigningKeys } from './storage/signing-keys.ts'

/** Who our tokens say they come from and are for, when nothing else is set. */
export const LOCAL_ISSUER = 'urn:footing:local'

interface TokenSettings {
  readonly tokenIssuer: string | undefined
  readonly tokenLifetimeSeconds: number
  readonly now: () => Date
}

/** The keys of a database are made at the first start and shared by all who use it. */
export const keysOf = (db: Database, now: () => Date) => prepare(db, { newId: randomUUID, now })

export const tokensFrom = (
  db: Database,
  { tokenIssuer = LOCAL_ISSUER, tokenLifetimeSeconds, now }: TokenSettings,
): Tokens =>
  rotatingTokens(
    () => db.asOwner(listSigningKeys),
    { issuer: tokenIssuer, audience: tokenIssuer, lifetimeS: tokenLifetimeSeconds },
    now,
  )

/** Tokens of a database. */
export async function tokensOf(db: Database, settings: TokenSettings): Promise<Tokens> {
  await keysOf(db, settings.now)
  return tokensFrom(db, settings)
}
