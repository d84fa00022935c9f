import underPressure from '@fastify/under-pressure'
import type { FastifyInstance } from 'fastify'
import { AppError } from '../errors.ts'

export interface Capacity {
  /** Requests that are being answered at a time. */
  readonly maxInFlight?: number | undefined
  /** How late timers may be on average of a second. */
  readonly maxEventLoopDelayMs?: number | undefined
}

const overloaded = () =>
  new AppError('unavailable', 'The service is busy. Retry-After says when to ask again.')

/** Whatever watches the process is answered also when it is overloaded. */
const isWatching = (route: string | undefined): boolean => route?.startsWith('/health/') === true

/**
 * Refuses what would only wait: 503 and Retry-After, when the process is late or so many requests are being
 * answered already.
 */
export async function installOverload(
  app: FastifyInstance,
  { maxInFlight = Infinity, maxEventLoopDelayMs = 0 }: Capacity,
): Promise<void> {
  let inFlight = 0
  await app.register(underPressure, {
    // 0 is none.
    maxEventLoopDelay: maxEventLoopDelayMs,
    // Asked below, together with the number of requests.
    pressureHandler: () => {},
  })
  app.addHook('onRequest', (request, reply, done) => {
    if (isWatching(request.routeOptions.url)) return done()
    if (inFlight >= maxInFlight || app.isUnderPressure()) return done(overloaded())
    inFlight += 1
    // Comes whether the answer was read or the caller went away.
    reply.raw.once('close', () => {
      inFlight -= 1
    })
    done()
  })
}
