import cors from '@fastify/cors'
import type { FastifyInstance } from 'fastify'

/** What a script in a browser may read beside the body. */
const EXPOSED = [
  'ETag',
  'Location',
  'Content-Location',
  'Last-Modified',
  'Retry-After',
  'WWW-Authenticate',
  'X-Correlation-Id',
  'X-Request-Id',
  'X-Progress',
]
const TAKEN = [
  'Accept',
  'Authorization',
  'Content-Type',
  'Idempotency-Key',
  'If-Match',
  'If-Modified-Since',
  'If-None-Exist',
  'If-None-Match',
  'Prefer',
  'Purpose-Of-Use',
  'X-Provenance',
  'X-Request-Id',
]
const PREFLIGHT_S = 600

/**
 * Lets scripts of these origins call the service; without any there is no CORS. Callers prove who they are
 * with a bearer token, never with a cookie, so even every origin (`*`) sees nothing without a token.
 */
export async function installCors(app: FastifyInstance, origins: readonly string[]): Promise<void> {
  if (origins.length === 0) return
  await app.register(cors, {
    origin: origins.includes('*') ? '*' : [...origins],
    methods: ['GET', 'HEAD', 'POST', 'PUT', 'PATCH', 'DELETE'],
    allowedHeaders: TAKEN,
    exposedHeaders: EXPOSED,
    credentials: false,
    maxAge: PREFLIGHT_S,
    // What is no preflight request is answered like any other OPTIONS.
    strictPreflight: false,
  })
}
