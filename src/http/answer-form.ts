import type { FastifyInstance, FastifyReply } from 'fastify'
import { prettyJson } from '../fhir/pretty-json.ts'
import { formPairs, queryPairs } from './fhir-body.ts'

/**
 * Health data stays out of caches that people share. The caller's own may keep an answer, and asks with
 * If-None-Match whether it still holds each time: `no-store` would forbid the copy that a 304 needs.
 */
const CACHING = 'private, no-cache'

/** What an answer depends on beside its address. */
const DEPENDS_ON = 'Accept, Authorization, Prefer'

export function noteCaching(reply: FastifyReply): void {
  // CORS has named the header Origin already, where it is on.
  const before = reply.getHeader('vary')
  reply.header('cache-control', CACHING)
  reply.header('vary', typeof before === 'string' ? `${before}, ${DEPENDS_ON}` : DEPENDS_ON)
}

/** `_pretty=true` lays an answer out for people; what is streamed stays as it is. */
export function installPretty(app: FastifyInstance): void {
  app.addHook('onSend', (request, reply, payload, done) => {
    const asked = [...queryPairs(request), ...formPairs(request)].some(
      ([name, value]) => name === '_pretty' && value === 'true',
    )
    if (!asked) return done(null, payload)
    const isJson = /\bjson\b/.test(String(reply.getHeader('content-type') ?? ''))
    done(null, isJson && typeof payload === 'string' ? prettyJson(payload) : payload)
  })
}
