import rateLimit from '@fastify/rate-limit'
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { AppError } from '../errors.ts'
import type { Identity } from '../security/access-token.ts'

/** Requests a minute. */
export interface RateLimits {
  readonly perClient: number
  /** Of all clients of a clinic together, so that one clinic leaves room for the others. */
  readonly perClinic: number
  /** From one address without a token that holds. */
  readonly perAddress: number
}

const WINDOW_MS = 60_000

type Count = (
  request: FastifyRequest,
  options?: { increment?: boolean },
) => Promise<
  | { readonly isAllowed: true }
  | { readonly isAllowed: false; readonly isExceeded: boolean; readonly ttlInSeconds: number }
>

/** Each throws `throttled`, with Retry-After in the answer. */
export interface Throttle {
  /** Counts a request to what is open to everybody. */
  readonly open: (request: FastifyRequest, reply: FastifyReply) => Promise<void>
  /** Counts an address whose token does not hold. What is beyond the limit is not recorded either. */
  readonly failed: (request: FastifyRequest, reply: FastifyReply, error: unknown) => Promise<void>
  /** Counts a request of a client, and of its clinic. */
  readonly client: (
    request: FastifyRequest,
    reply: FastifyReply,
    identity: Identity,
  ) => Promise<void>
}

const UNLIMITED: Throttle = {
  open: async () => {},
  failed: async () => {},
  client: async () => {},
}

/**
 * By the verified caller; by address only before that, as many may share one: whoever has a token that holds
 * is not shut out by a neighbour. Without limits nobody waits.
 */
export async function installRateLimits(
  app: FastifyInstance,
  limits: RateLimits | undefined,
): Promise<Throttle> {
  if (limits === undefined) return UNLIMITED
  const identities = new WeakMap<FastifyRequest, Identity>()
  await app.register(rateLimit, { global: false })
  const counter = (max: number, keyGenerator?: (request: FastifyRequest) => string): Count =>
    app.createRateLimit({
      max,
      timeWindow: WINDOW_MS,
      ...(keyGenerator === undefined ? {} : { keyGenerator }),
    })
  // Each remembers 5,000 keys and forgets the one not seen for longest. Without a key generator the address
  // counts, of IPv6 the network. Requests that are counted in the same turn see the sum: those of a burst that
  // crosses a limit are all refused.
  const openly = counter(limits.perAddress)
  const failures = counter(limits.perAddress)
  const byClinic = counter(limits.perClinic, (request) => identities.get(request)?.clinicId ?? '')
  const byClient = counter(limits.perClient, (request) => {
    const { clinicId, clientId } = identities.get(request) ?? {}
    return `${clinicId} ${clientId}`
  })

  return {
    open: async (request, reply) => refuse(reply, await openly(request)),
    failed: async (request, reply, error) => {
      if (!(error instanceof AppError) || error.kind !== 'unauthenticated') return
      const counted = await failures(request)
      if (!counted.isAllowed && counted.isExceeded) request.call = null
      refuse(reply, counted)
    },
    client: async (request, reply, identity) => {
      identities.set(request, identity)
      // What a client sends beyond its own limit takes nothing from the other clients of its clinic.
      refuse(reply, await byClient(request))
      refuse(reply, await byClinic(request))
    },
  }
}

function refuse(reply: FastifyReply, counted: Awaited<ReturnType<Count>>): void {
  if (counted.isAllowed || !counted.isExceeded) return
  reply.header('retry-after', String(Math.max(1, counted.ttlInSeconds)))
  throw new AppError('throttled', 'Too many requests. Retry-After says when to ask again.')
}
