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

/** Reads the bearer token; throws `unauthenticated` when there is none that holds. */
export function bearerAuthentication(tokens: Tokens, now: () => Date): Authenticate {
  const verified = new Map<string, { readonly caller: Identity; readonly until: number }>()

  return async (request) => {
    const token = bearerIn(request)
    if (token === undefined) throw new AppError('unauthenticated', 'A bearer token is needed.')
    const moment = now()
    const at = moment.getTime()
    const cached = verified.get(token)
    if (cached !== undefined && cached.until > at) return cached.caller
    const caller = await tokens.verify(token, moment)
    verified.delete(token)
    if (caller === undefined)
      throw new AppError('unauthenticated', 'The bearer token is expired or not valid here.')
    if (verified.size >= CACHED_TOKENS) verified.clear()
    verified.set(token, { caller, until: Math.min(at + CACHED_MS, caller.expiresAtMs) })
    return caller
  }
}
