import { createHmac, timingSafeEqual } from 'node:crypto'

/** Half of SHA-256's 32 bytes: beyond any guessing, and the address stays short. */
const TAG_BYTES = 16

const tagOf = (text: string, key: Uint8Array, binding: string): Buffer =>
  createHmac('sha256', key)
    .update(JSON.stringify([binding, text]))
    .digest()
    .subarray(0, TAG_BYTES)

/**
 * The text and its signature, as it may stand in an address. Signed, not encrypted.
 *
 * @param binding what it holds for; not part of the text, but read with the same alone
 */
export const signedText = (text: string, key: Uint8Array, binding = ''): string =>
  Buffer.concat([tagOf(text, key, binding), Buffer.from(text, 'utf8')]).toString('base64url')

/** The text again; undefined when it was not signed with this key for this binding. */
export function verifiedText(signed: string, key: Uint8Array, binding = ''): string | undefined {
  const bytes = Buffer.from(signed, 'base64url')
  if (bytes.length < TAG_BYTES) return undefined
  // The decoder skips what is no base64url, so other texts would stand for the same bytes.
  if (bytes.toString('base64url') !== signed) return undefined
  const text = bytes.subarray(TAG_BYTES).toString('utf8')
  return timingSafeEqual(bytes.subarray(0, TAG_BYTES), tagOf(text, key, binding)) ? text : undefined
}
