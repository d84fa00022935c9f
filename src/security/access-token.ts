import {
  exportJWK,
  FlattenedSign,
  generateKeyPair,
  importJWK,
  type CryptoKey,
  type JWK,
  jwtVerify,
  SignJWT,
} from 'jose'
import type { Call } from './call.ts'
import { parseScopes, type Scope } from './scopes.ts'

const ALGORITHM = 'ES256'

/** Who calls, as the token says it: one clinic, staff of it or one partner, and what is granted. */
export interface Identity {
  readonly clinicId: string
  /** Absent for the clinic's own staff systems. */
  readonly partnerId?: string
  readonly clientId: string
  readonly tokenId: string
  readonly expiresAtMs: number
  readonly scopes: readonly Scope[]
}

/** Who calls, and what this call does, for the audit. */
export interface Caller extends Identity {
  readonly call: Call
}

export interface Grant {
  readonly clinicId: string
  readonly partnerId: string | undefined
  readonly clientId: string
  readonly scope: string
}

export interface TokenSettings {
  readonly issuer: string
  readonly audience: string
  readonly lifetimeS: number
}

interface Key {
  readonly keyId: string
  readonly privateKey: CryptoKey
  readonly publicKey: CryptoKey
  readonly published: PublicKey
}

/** Signs with the first of its keys and verifies with any. */
export interface Tokens {
  issue(grant: Grant, at: { readonly tokenId: string; readonly nowS: number }): Promise<string>
  /** Undefined for a token that is not ours, not for us, expired or incomplete. */
  verify(token: string, at: Date): Promise<Identity | undefined>
  /** With what others can verify them, a JSON Web Key Set. */
  publicKeys(): Promise<PublicKeySet>
  /** A detached JWS (RFC 7515, appendix F) over a text, which the published keys verify. */
  signDetached(text: string, header: DetachedHeader): Promise<string>
}

/** What a signature says beside the key, all of it signed; `typ` tells it from an access token. */
export interface DetachedHeader {
  readonly typ: string
  readonly iss: string
  readonly aud: string
  readonly iat: number
  readonly jti: string
}

export interface PublicKeySet {
  readonly keys: readonly PublicKey[]
}
export interface PublicKey {
  readonly kty: string
  readonly crv: string
  readonly x: string
  readonly y: string
  readonly kid: string
  readonly use: 'sig'
  readonly alg: typeof ALGORITHM
}

/** A new signing key as text, for storage. */
export async function newPrivateJwk(): Promise<string> {
  const { privateKey } = await generateKeyPair(ALGORITHM, { extractable: true })
  return JSON.stringify(await exportJWK(privateKey))
}

/** @param keys at least one; the first signs */
export async function openTokens(
  keys: readonly { readonly keyId: string; readonly privateJwk: string }[],
  settings: TokenSettings,
): Promise<Tokens> {
  const opened = await Promise.all(keys.map(openKey))
  const [first] = opened
  if (first === undefined) throw new Error('There is no key to sign access tokens with')
  return {
    issue: (grant, { tokenId, nowS }) =>
      new SignJWT({
        clinic: grant.clinicId,
        ...(grant.partnerId === undefined ? {} : { partner: grant.partnerId }),
        client_id: grant.clientId,
        scope: grant.scope,
      })
        .setProtectedHeader({ alg: ALGORITHM, kid: first.keyId, typ: 'at+jwt' })
        .setIssuer(settings.issuer)
        .setAudience(settings.audience)
        .setSubject(grant.clientId)
        .setJti(tokenId)
        .setIssuedAt(nowS)
        .setExpirationTime(nowS + settings.lifetimeS)
        .sign(first.privateKey),
    verify: (token, at) => verify(token, opened, settings, at),
    publicKeys: () => Promise.resolve({ keys: opened.map(({ published }) => published) }),
    signDetached: async (text, header) => {
      const { protected: head, signature } = await new FlattenedSign(Buffer.from(text))
        .setProtectedHeader({ ...header, alg: ALGORITHM, kid: first.keyId })
        .sign(first.privateKey)
      return `${head}..${signature}`
    },
  }
}

async function verify(
  token: string,
  keys: readonly Key[],
  { issuer, audience }: TokenSettings,
  at: Date,
): Promise<Identity | undefined> {
  try {
    const { payload } = await jwtVerify(
      token,
      ({ kid }) => {
        const key = keys.find((candidate) => candidate.keyId === kid)
        if (key === undefined) throw new Error('unknown key')
        return key.publicKey
      },
      {
        algorithms: [ALGORITHM],
        issuer,
        audience,
        typ: 'at+jwt',
        currentDate: at,
        requiredClaims: ['sub', 'jti', 'iat', 'exp', 'clinic', 'scope'],
      },
    )
    return callerOf(payload)
  } catch {
    return undefined
  }
}

function callerOf(claims: Readonly<Record<string, unknown>>): Identity | undefined {
  const { clinic, partner, sub, jti, exp, scope } = claims
  if (typeof clinic !== 'string' || typeof sub !== 'string' || typeof jti !== 'string')
    return undefined
  if (typeof exp !== 'number') return undefined
  if (partner !== undefined && typeof partner !== 'string') return undefined
  const scopes = typeof scope === 'string' ? parseScopes(scope) : undefined
  if (scopes === undefined) return undefined
  return {
    clinicId: clinic,
    clientId: sub,
    tokenId: jti,
    expiresAtMs: exp * 1000,
    scopes,
    ...(partner === undefined ? {} : { partnerId: partner }),
  }
}

async function openKey(stored: {
  readonly keyId: string
  readonly privateJwk: string
}): Promise<Key> {
  const jwk = JSON.parse(stored.privateJwk) as JWK
  const { kty = '', crv = '', x = '', y = '' } = jwk
  const publicJwk = { kty, crv, x, y }
  const privateKey = await importJWK(jwk, ALGORITHM)
  const publicKey = await importJWK(publicJwk, ALGORITHM)
  if (privateKey instanceof Uint8Array || publicKey instanceof Uint8Array)
    throw new Error('A signing key must be an elliptic curve key')
  const kid = stored.keyId
  const published: PublicKey = { ...publicJwk, kid, use: 'sig', alg: ALGORITHM }
  return { keyId: kid, privateKey, publicKey, published }
}
