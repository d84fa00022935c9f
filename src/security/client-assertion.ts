import { decodeJwt, decodeProtectedHeader, type JWTVerifyOptions, jwtVerify } from 'jose'
import {
  CLIENT_ALGORITHMS,
  type ClientAlgorithm,
  type ClientKey,
  openedKey,
} from './client-keys.ts'

const LONGEST_ASSERTION = 8_192
/** SMART App Launch 2.2, client-confidential-asymmetric: `exp` is no more than five minutes ahead. */
const LONGEST_LIFE_S = 300
/** Clocks of partners differ from ours by this much at most, either way. */
export const CLOCK_SKEW_S = 60

/** Visible text: what a name may be that comes from outside and goes into the database. */
const NAME = /^[^\p{C}]{1,256}$/u

/** What an assertion says before anybody has checked it: whose key is to be looked for. */
export interface ClaimedAssertion {
  readonly clientId: string
  readonly keyId: string
  readonly algorithm: ClientAlgorithm
}

export interface VerifiedAssertion {
  readonly jti: string
  /** When it would be refused as expired, clocks that differ included. */
  readonly goneAtMs: number
}

/** What the header and the claims of a JWT say before anybody has checked them. */
export interface ClaimedJwt extends Omit<ClaimedAssertion, 'clientId'> {
  readonly issuer: string
  readonly subject: string | undefined
  /** Where its keys are said to be. */
  readonly keysUrl: string | undefined
}

/** Undefined for what is no JWT that a client may sign. */
export function claimedJwt(assertion: string): ClaimedJwt | undefined {
  if (assertion.length > LONGEST_ASSERTION) return undefined
  try {
    const { kid, typ, alg, jku } = decodeProtectedHeader(assertion)
    const algorithm = CLIENT_ALGORITHMS.find((one) => one === alg)
    const { iss, sub } = decodeJwt(assertion)
    if (algorithm === undefined || kid === undefined || !NAME.test(kid)) return undefined
    if (typ !== undefined && typ.toUpperCase() !== 'JWT') return undefined
    if (iss === undefined || !NAME.test(iss)) return undefined
    return { issuer: iss, subject: sub, keysUrl: jku, keyId: kid, algorithm }
  } catch {
    return undefined
  }
}

/** Undefined for what is no assertion, or is not of a client about itself. */
export function claimedAssertion(assertion: string): ClaimedAssertion | undefined {
  const claimed = claimedJwt(assertion)
  return claimed === undefined || claimed.issuer !== claimed.subject
    ? undefined
    : { clientId: claimed.issuer, keyId: claimed.keyId, algorithm: claimed.algorithm }
}

/**
 * Checks an assertion (RFC 7523 section 3, and what SMART narrows) with the key that the client is registered
 * with. Keys and addresses of keys in its own header are not looked at.
 */
export const verifiedAssertion = (
  assertion: string,
  key: ClientKey,
  { clientId, audience, at }: { clientId: string; audience: string; at: Date },
): Promise<VerifiedAssertion | undefined> =>
  verifiedJwt(assertion, key, {
    issuer: clientId,
    subject: clientId,
    audience,
    currentDate: at,
    requiredClaims: ['exp', 'jti'],
  })

/** The same of any JWT that a client signs about itself: for us alone, for five minutes, with a `jti`. */
export async function verifiedJwt(
  assertion: string,
  key: ClientKey,
  expected: JWTVerifyOptions & { readonly currentDate: Date },
): Promise<VerifiedAssertion | undefined> {
  const opened = await openedKey(key)
  if (opened === undefined) return undefined
  try {
    const { payload } = await jwtVerify(assertion, opened, {
      ...expected,
      algorithms: CLIENT_ALGORITHMS.filter((one) => one === key.algorithm),
      clockTolerance: CLOCK_SKEW_S,
    })
    const { exp = Number.NaN, iat = 0, jti, aud } = payload
    const nowS = expected.currentDate.getTime() / 1000
    // For us alone: what is meant for others too, they could use here.
    if (Array.isArray(aud) && aud.length !== 1) return undefined
    if (!(exp - nowS <= LONGEST_LIFE_S + CLOCK_SKEW_S && iat - nowS <= CLOCK_SKEW_S))
      return undefined
    if (typeof jti !== 'string' || !NAME.test(jti)) return undefined
    return { jti, goneAtMs: Math.ceil((exp + CLOCK_SKEW_S) * 1000) }
  } catch {
    return undefined
  }
}
