import { AppError } from '../errors.ts'
import type { Tokens } from '../security/access-token.ts'
import { parseScopes, within } from '../security/scopes.ts'
import { findClient } from '../storage/clients.ts'
import type { Database } from '../storage/database.ts'
import { isReadable } from './narrowed-sight.ts'

export interface TokenRequest {
  readonly clientId: string
  /** SMART system scopes; everything registered when not given. */
  readonly scope: string | undefined
}

/** An access token for a registered client, never for more than was registered. */
export async function issueToken(
  {
    db,
    tokens,
    newId,
    now,
  }: {
    readonly db: Database
    readonly tokens: Tokens
    readonly newId: () => string
    readonly now: () => Date
  },
  { clientId, scope }: TokenRequest,
): Promise<string> {
  const client = await db.asOwner((tx) => findClient(tx, clientId))
  if (client === undefined || client.revokedAt !== null)
    throw new AppError('not-found', `There is no client ${clientId}.`)
  const registered = parseScopes(client.scope) ?? []
  const asked = scope === undefined ? registered : parseScopes(scope)
  if (asked === undefined || !isReadable(asked) || !within(asked, registered))
    throw new AppError('scope-missing', `${clientId} may have no more than ${client.scope}.`)
  return tokens.issue(
    {
      clinicId: client.clinicId,
      partnerId: client.partnerId ?? undefined,
      clientId,
      scope: scope ?? client.scope,
    },
    { tokenId: newId(), nowS: Math.floor(now().getTime() / 1000) },
  )
}
