import type { FastifyInstance } from 'fastify'
import helmet from 'helmet'

/** An answer is data: it loads nothing, runs nothing and stands in no frame. Pages say themselves what they need. */
const NOTHING = { defaultSrc: ["'none'"], frameAncestors: ["'none'"] }
const HSTS_S = 31_536_000

/**
 * Made once; the plugin for Fastify makes it anew for each request, which shows in a read by id.
 *
 * @param baseUrl where callers reach the service: over plain HTTP a promise of HTTPS would lock them out
 */
export function installSecurityHeaders(app: FastifyInstance, baseUrl: string): void {
  const secure = helmet({
    contentSecurityPolicy: { useDefaults: false, directives: NOTHING },
    strictTransportSecurity: baseUrl.startsWith('https:')
      ? { maxAge: HSTS_S, includeSubDomains: false }
      : false,
    referrerPolicy: { policy: 'no-referrer' },
  })
  app.addHook('onRequest', (request, reply, done) => secure(request.raw, reply.raw, () => done()))
}
