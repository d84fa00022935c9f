import { createHash } from 'node:crypto'
import type { FastifyRequest } from 'fastify'
import { AppError } from '../errors.ts'
import type { Identity, Tokens } from '../security/access-token.ts'

/** Tokens that were verified, until they expire: a check of the signature costs 80-160 µs. */
const CACHED_TOKENS = 1_000
const CACHED_MS = 30_000

/** The token as it was sent. */
export const bearerIn = ({ headers }: FastifyRequest): string | undefined =>
  /^Bearer ([\w.~+/-]+=*)$/i.exec(headers.authorization ?? '')?.[1]

/** Who sent this request. */
export type Authenticate = (request: FastifyRequest) => Promise<Identity>

const refused = () =>
  new AppError('unauthenticated', 'The bearer token is expired or not valid here.')

/**
 * Reads the bearer token; throws `unauthenticated` when there is none that holds.
 *
 * @param isActive is its client still registered? Asked for each request, so it remembers.
 */
export function bearerAuthentication(
  tokens: Pick<Tokens, 'verify'>,
  isActive: (identity: Identity) => Promise<boolean>,
  now: () => Date,
): Authenticate {
  /** By the hash of the token: what lies in memory is of no use to anybody. */
  const verified = new Map<string, { readonly identity: Identity; readonly until: number }>()

  const identityIn = async (token: string): Promise<Identity> => {
    const key = createHash('sha256').update(token).digest('base64')
    const moment = now()
    const at = moment.getTime()
    const cached = verified.get(key)
    if (cached !== undefined && cached.until > at) return cached.identity
    const identity = await tokens.verify(token, moment)
    verified.delete(key)
    if (identity === undefined) throw refused()
    if (verified.size >= CACHED_TOKENS) verified.clear()
    verified.set(key, { identity, until: Math.min(at + CACHED_MS, identity.expiresAtMs) })
    return identity
  }

  return async (request) => {
    const token = bearerIn(request)
    if (token === undefined) throw new AppError('unauthenticated', 'A bearer token is needed.')
    const identity = await identityIn(token)
    if (!(await isActive(identity))) throw refused()
    return identity
  }
}
