import type { FastifyRequest } from 'fastify'
import { z } from 'zod'
import { AppError } from '../errors.ts'
import { provenanceHeader, type ProvenanceOf } from '../fhir/provenance-header.ts'

const HEADER = 'x-provenance'

/** Among the headers of a route that writes one resource. */
export const PROVENANCE = {
  [HEADER]: z.string().optional().meta({
    description:
      'Where the resource comes from: a Provenance as JSON, without target. It is kept with the version that is written as its target; the scope Provenance.c is needed.',
  }),
} as const

/** Where what is written comes from, when the request says so. */
export function provenanceOf({ headers }: FastifyRequest): ProvenanceOf | undefined {
  const sent = headers[HEADER]
  if (sent === undefined) return undefined
  // Node reads a header byte by byte.
  return provenanceHeader(Buffer.from(Array.isArray(sent) ? sent.join(',') : sent, 'latin1'))
}

/** What a sender says of the origin is not dropped without a word where it cannot be kept. */
export function refuseProvenance({ headers }: FastifyRequest): void {
  if (headers[HEADER] === undefined) return
  throw new AppError('invalid-request', 'The header X-Provenance cannot be taken here.', [
    {
      severity: 'error',
      code: 'not-supported',
      expression: 'http."X-Provenance"',
      rule: 'provenance-header',
      text: 'The header goes with a create, an update or a patch of one resource.',
    },
  ])
}
