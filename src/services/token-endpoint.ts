import type { Tokens } from '../security/access-token.ts'
import { claimedAssertion, verifiedAssertion } from '../security/client-assertion.ts'
import { ADMINISTRATION, common, parseScopes, scopeText } from '../security/scopes.ts'
import { activeClient, findClient, type RegisteredClient } from '../storage/clients.ts'
import type { Database } from '../storage/database.ts'
import type { Tx } from '../storage/transaction.ts'
import { useAssertion } from '../storage/used-assertions.ts'
import type { FindKey } from './client-keys.ts'
import { isReadable } from './narrowed-sight.ts'
import { type Pairs, readTokenRequest, type TokenError } from './token-request.ts'

/** What became of a request for a token, for the record. */
export interface TokenOutcome {
  readonly outcome: 'granted' | 'refused'
  /** A fixed word, never of what was sent. */
  readonly reason: string
  readonly clinicId?: string
  /** Of a client that there is; nothing that was merely claimed. */
  readonly clientId?: string
  readonly tokenId?: string
}

export interface TokenEndpoint {
  readonly db: Database
  readonly tokens: Tokens
  readonly findKey: FindKey
  /** What assertions must be for. */
  readonly tokenUrl: string
  readonly lifetimeS: number
  readonly now: () => Date
  readonly newId: () => string
  /** Told of every outcome, before it is answered and after its transaction has ended. */
  readonly record: (outcome: TokenOutcome) => Promise<void>
}

export type TokenAnswer =
  | { readonly accessToken: string; readonly expiresInS: number; readonly scope: string }
  | { readonly error: TokenError }

/** SMART Backend Services: a token for whoever proves with its key that it is a registered client. */
export async function requestToken(endpoint: TokenEndpoint, pairs: Pairs): Promise<TokenAnswer> {
  const read = readTokenRequest(pairs)
  if ('error' in read) return refused(endpoint, read.error, { reason: read.reason })
  const { assertion } = read
  const claimed = claimedAssertion(assertion)
  if (claimed === undefined || (read.clientId ?? claimed.clientId) !== claimed.clientId)
    return refused(endpoint, 'invalid_client', { reason: 'no-assertion' })
  const client = await endpoint.db.asOwner((tx) => findClient(tx, claimed.clientId))
  if (client === undefined) return refused(endpoint, 'invalid_client', { reason: 'unknown-client' })
  const { clinicId, clientId } = client
  const who = { clinicId, clientId }
  if (client.revokedAt !== null)
    return refused(endpoint, 'invalid_client', { ...who, reason: 'revoked-client' })
  const key = await endpoint.findKey(client, claimed)
  if (key === undefined)
    return refused(endpoint, 'invalid_client', { ...who, reason: 'unknown-key' })
  const verified = await verifiedAssertion(assertion, key, {
    clientId,
    audience: endpoint.tokenUrl,
    at: endpoint.now(),
  })
  if (verified === undefined)
    return refused(endpoint, 'invalid_client', { ...who, reason: 'invalid-assertion' })
  return granted(endpoint, client, { ...verified, scope: read.scope })
}

async function granted(
  endpoint: TokenEndpoint,
  client: RegisteredClient,
  asked: { readonly jti: string; readonly goneAtMs: number; readonly scope: string },
): Promise<TokenAnswer> {
  const { clinicId, clientId, partnerId } = client
  const [tokenId, at] = [endpoint.newId(), endpoint.now()]
  const scope = grantedScope(client, asked.scope)
  // Signed before the transaction: a connection waits for nothing that may need another.
  const accessToken = await endpoint.tokens.issue(
    { clinicId, partnerId: partnerId ?? undefined, clientId, scope },
    { tokenId, nowS: Math.floor(at.getTime() / 1000) },
  )
  const partner = partnerId === null ? {} : { partnerId }
  const refusal = await endpoint.db.inClinic({ clinicId, ...partner }, (tx) =>
    refusalOf(tx, { ...client, ...asked, granted: scope, at }),
  )
  if (refusal !== undefined)
    return refused(endpoint, refusal.error, { clinicId, clientId, reason: refusal.reason })
  await endpoint.record({ outcome: 'granted', reason: 'granted', clinicId, clientId, tokenId })
  return { accessToken, expiresInS: endpoint.lifetimeS, scope }
}

/** Uses the assertion up; says why there is no token for it. */
async function refusalOf(
  tx: Tx,
  asked: Pick<RegisteredClient, 'clinicId' | 'clientId' | 'partnerId'> & {
    readonly jti: string
    readonly goneAtMs: number
    readonly granted: string
    readonly at: Date
  },
): Promise<{ readonly error: TokenError; readonly reason: string } | undefined> {
  const { clinicId, clientId, partnerId, jti } = asked
  if ((await tx.query(activeClient({ clinicId, clientId, partnerId }))).length === 0)
    return { error: 'invalid_client', reason: 'revoked-client' }
  const first = await useAssertion(tx, {
    clinicId,
    clientId,
    jti,
    expiresAt: new Date(asked.goneAtMs).toISOString(),
    at: asked.at.toISOString(),
  })
  if (!first) return { error: 'invalid_client', reason: 'used-assertion' }
  return asked.granted === '' ? { error: 'invalid_scope', reason: 'nothing-granted' } : undefined
}

/** No more than was asked and no more than is registered; nothing for what cannot be read. */
function grantedScope({ scope, partnerId }: RegisteredClient, asked: string): string {
  const registered = (parseScopes(scope) ?? []).filter(
    ({ type }) => partnerId === null || type !== ADMINISTRATION,
  )
  const scopes = parseScopes(asked) ?? []
  return isReadable(scopes) ? scopeText(common(scopes, registered)) : ''
}

/** Every refusal passes here. */
async function refused(
  endpoint: TokenEndpoint,
  error: TokenError,
  known: Omit<TokenOutcome, 'outcome'>,
): Promise<TokenAnswer> {
  await endpoint.record({ ...known, outcome: 'refused' })
  return { error }
}
