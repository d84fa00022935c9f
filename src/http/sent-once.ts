import { createHash } from 'node:crypto'
import type { FastifyRequest } from 'fastify'
import { z } from 'zod'
import type { SentRequest } from '../services/once.ts'
import { rawBody } from './fhir-body.ts'

const HEADER = 'idempotency-key'

/** Among the headers of a route that does once what is sent several times. */
export const ONCE = {
  [HEADER]: z
    .string()
    .regex(/^[\x20-\x7e]{1,255}$/)
    .optional(),
} as const

const SAID = ['content-type', 'if-none-exist', 'x-provenance', 'x-security-context'] as const

/** By what a create is known when it is sent again: its key, and all that it says. */
export function createOf(request: FastifyRequest, type: string): SentRequest {
  const { headers } = request
  const key = headers[HEADER]
  if (typeof key !== 'string') return { idempotencyKey: undefined, bodyHash: '' }
  const said = JSON.stringify([type, ...SAID.map((name) => headers[name] ?? null)])
  const hash = createHash('sha256').update(said).update(rawBody(request))
  return { idempotencyKey: key, bodyHash: hash.digest('hex') }
}
