import helmet from '@fastify/helmet'
import type { FastifyInstance } from 'fastify'

/** An answer is data: it loads nothing, runs nothing and stands in no frame. Pages say themselves what they need. */
const NOTHING = { defaultSrc: ["'none'"], frameAncestors: ["'none'"] }
const HSTS_S = 31_536_000

/** @param baseUrl where callers reach the service: over plain HTTP a promise of HTTPS would lock them out */
export async function installSecurityHeaders(app: FastifyInstance, baseUrl: string): Promise<void> {
  await app.register(helmet, {
    global: true,
    contentSecurityPolicy: { useDefaults: false, directives: NOTHING },
    hsts: baseUrl.startsWith('https:') ? { maxAge: HSTS_S, includeSubDomains: false } : false,
    referrerPolicy: { policy: 'no-referrer' },
  })
}
