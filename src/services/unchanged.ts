import { entityTags, isNamed } from '../fhir/entity-tags.ts'

/** What the caller says that it has: the headers, or what stands for them in an entry of a Bundle. */
export interface Known {
  readonly ifNoneMatch: string | undefined
  /** An HTTP date, or an instant. */
  readonly ifModifiedSince: string | undefined
}

/** What an answer says of its version. */
export interface Validators {
  /** As it stands in the header ETag. */
  readonly etag: string
  /** ISO instant in UTC. */
  readonly updatedAt?: string
}

/** Does the caller have it already? If-None-Match counts alone where it is given (RFC 9110, 13.2.2). */
export function isUnchanged(
  { ifNoneMatch, ifModifiedSince }: Known,
  { etag, updatedAt }: Validators,
): boolean {
  if (ifNoneMatch !== undefined) {
    const known = entityTags(ifNoneMatch)
    const own = etag.replaceAll(/^(?:W\/)?"|"$/g, '')
    // Who cannot be understood is answered in full: nothing is lost by that.
    return known !== undefined && isNamed(known, own)
  }
  const since = Date.parse(ifModifiedSince ?? '')
  if (Number.isNaN(since) || updatedAt === undefined) return false
  const updated = Date.parse(updatedAt)
  // The header Last-Modified that the caller repeats has no fractions of a second.
  return (since % 1_000 === 0 ? Math.floor(updated / 1_000) * 1_000 : updated) <= since
}
