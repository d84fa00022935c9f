import type { FastifyRequest } from 'fastify'

/** What an answer says of its version. */
export interface Validators {
  /** As it stands in the header ETag. */
  readonly etag: string
  /** ISO instant in UTC. */
  readonly updatedAt?: string
}

const TAG = /(?:W\/)?"[^"]*"/g

/** Does the caller have it already? If-None-Match counts alone where it is given (RFC 9110, 13.2.2). */
export function isUnchanged(
  { headers }: Pick<FastifyRequest, 'headers'>,
  { etag, updatedAt }: Validators,
): boolean {
  const known = headers['if-none-match']
  if (known !== undefined)
    return (
      known.trim() === '*' || (known.match(TAG) ?? []).some((tag) => inner(tag) === inner(etag))
    )
  const since = Date.parse(headers['if-modified-since'] ?? '')
  if (Number.isNaN(since) || updatedAt === undefined) return false
  // The header Last-Modified that the caller repeats has no fractions of a second.
  return Math.floor(Date.parse(updatedAt) / 1_000) <= Math.floor(since / 1_000)
}

/** Reading compares weakly: `"3"` and `W/"3"` are the same version. */
const inner = (tag: string): string => tag.replace(/^W\//, '')
