/** What If-Match or If-None-Match names: any version there is, or those with one of these tags. */
export type EntityTags = 'any' | ReadonlySet<string>

const TAG = /(?:W\/)?"([^"]*)"/g

/**
 * Reads `*` or a list of tags (RFC 9110, 13.1.1 and 5.6.1.2: empty items count for nothing); undefined where it
 * is neither. Whether a tag is weak makes no difference: the tags of R4 are (3.1.0.5).
 */
export function entityTags(text: string): EntityTags | undefined {
  if (text.trim() === '*') return 'any'
  const tags: string[] = []
  // A tag may have commas of its own, so what lies between them is looked at without the tags.
  const between = text.replaceAll(TAG, (_tag, inner: string) => {
    tags.push(inner)
    return '"'
  })
  const items = between
    .split(',')
    .map((item) => item.trim())
    .filter((item) => item !== '')
  const isList = items.length > 0 && items.every((item) => item === '"')
  return isList && items.length === tags.length ? new Set(tags) : undefined
}

/** Is this version, which there is, among those that are named? */
export const isNamed = (tags: EntityTags, version: string): boolean =>
  tags === 'any' || tags.has(version)
