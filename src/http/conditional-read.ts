import type { FastifyRequest } from 'fastify'
import { isUnchanged, type Validators } from '../services/unchanged.ts'

/** Does the caller have it already, by the headers of the request? */
export const isKnown = (
  { headers }: Pick<FastifyRequest, 'headers'>,
  validators: Validators,
): boolean =>
  isUnchanged(
    { ifNoneMatch: headers['if-none-match'], ifModifiedSince: headers['if-modified-since'] },
    validators,
  )
