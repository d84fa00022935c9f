import type { Identity } from '../security/access-token.ts'
import { type ClaimedJwt, claimedJwt, verifiedJwt } from '../security/client-assertion.ts'
import { parseScopes } from '../security/scopes.ts'
import { findClient, findClientOfKeys, type RegisteredClient } from '../storage/clients.ts'
import type { Tx } from '../storage/transaction.ts'
import { useAssertion } from '../storage/used-assertions.ts'
import type { TokenEndpoint } from './token-endpoint.ts'

/**
 * Who signed a JWT of CDS Hooks 2.0, by the keys that the client is registered with. Undefined for whoever is
 * not registered, for what was signed for another address, and for what was used before.
 *
 * @param audience the address that is called
 */
export type IdentifyCdsClient = (token: string, audience: string) => Promise<Identity | undefined>

export const cdsClients =
  ({ db, findKey, now }: Pick<TokenEndpoint, 'db' | 'findKey' | 'now'>): IdentifyCdsClient =>
  async (token, audience) => {
    const claimed = claimedJwt(token)
    if (claimed === undefined) return undefined
    const client = await db.asOwner((tx) => clientOf(tx, claimed))
    if (client === undefined || client.revokedAt !== null) return undefined
    const key = await findKey(client, claimed)
    if (key === undefined) return undefined
    const at = now()
    const verified = await verifiedJwt(token, key, {
      issuer: claimed.issuer,
      audience,
      currentDate: at,
      requiredClaims: ['exp', 'iat', 'jti'],
    })
    const scopes = parseScopes(client.scope)
    if (verified === undefined || scopes === undefined) return undefined
    const { clinicId, clientId, partnerId } = client
    const partner = partnerId === null ? {} : { partnerId }
    const isFirst = await db.inClinic({ clinicId, ...partner }, (tx) =>
      useAssertion(tx, {
        clinicId,
        clientId,
        jti: verified.jti,
        expiresAt: new Date(verified.goneAtMs).toISOString(),
        at: at.toISOString(),
      }),
    )
    return isFirst
      ? {
          clinicId,
          ...partner,
          clientId,
          tokenId: verified.jti,
          expiresAtMs: verified.goneAtMs,
          scopes,
        }
      : undefined
  }

/**
 * By the id that we gave; else, as records systems name themselves by their own address, by where its keys are
 * registered to be, when that is at the same origin as the issuer.
 */
async function clientOf(
  tx: Tx,
  { issuer, keysUrl }: ClaimedJwt,
): Promise<RegisteredClient | undefined> {
  const named = await findClient(tx, issuer)
  if (named !== undefined)
    return keysUrl === undefined || named.jwksUrl === null || named.jwksUrl === keysUrl
      ? named
      : undefined
  const origin = originOf(issuer)
  return keysUrl !== undefined && origin !== undefined && originOf(keysUrl) === origin
    ? findClientOfKeys(tx, keysUrl)
    : undefined
}

const originOf = (url: string): string | undefined =>
  URL.canParse(url) && /^https?:/i.test(url) ? new URL(url).origin : undefined
