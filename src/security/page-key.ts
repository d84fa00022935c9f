import { createHmac } from 'node:crypto'

/**
 * The key that seals links to pages: made of the oldest token key, so that it is the same in every process
 * on a database, and of no use for tokens.
 *
 * @param keys newest first, at least one
 */
export function pageKeyOf(
  keys: readonly { readonly keyId: string; readonly privateJwk: string }[],
): Uint8Array {
  const oldest = keys.at(-1)
  if (oldest === undefined) throw new Error('There is no signing key')
  return createHmac('sha256', oldest.privateJwk).update('links to pages').digest()
}
