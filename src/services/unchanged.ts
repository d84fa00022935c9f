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

const TAG = /(?:W\/)?"[^"]*"/g

/** Does the caller have it already? If-None-Match counts alone where it is given (RFC 9110, 13.2.2). */
export function isUnchanged(
  { ifNoneMatch, ifModifiedSince }: Known,
  { etag, updatedAt }: Validators,
): boolean {
  if (ifNoneMatch !== undefined)
    return (
      ifNoneMatch.trim() === '*' ||
      (ifNoneMatch.match(TAG) ?? []).some((tag) => inner(tag) === inner(etag))
    )
  const since = Date.parse(ifModifiedSince ?? '')
  if (Number.isNaN(since) || updatedAt === undefined) return false
  const updated = Date.parse(updatedAt)
  // The header Last-Modified that the caller repeats has no fractions of a second.
  return (since % 1_000 === 0 ? Math.floor(updated / 1_000) * 1_000 : updated) <= since
}

/** Reading compares weakly: `"3"` and `W/"3"` are the same version. */
const inner = (tag: string): string => tag.replace(/^W\//, '')
