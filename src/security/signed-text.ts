import { createHmac, timingSafeEqual } from 'node:crypto'

/** Half of SHA-256's 32 bytes: beyond any guessing, and the address stays short. */
const TAG_BYTES = 16

const tagOf = (text: string, key: Uint8Array): Buffer =>
  createHmac('sha256', key).update(text, 'utf8').digest().subarray(0, TAG_BYTES)

/** The text and its signature, as it may stand in an address. Signed, not encrypted. */
export const signedText = (text: string, key: Uint8Array): string =>
  Buffer.concat([tagOf(text, key), Buffer.from(text, 'utf8')]).toString('base64url')

/** The text again; undefined when it was not signed with this key. */
export function verifiedText(signed: string, key: Uint8Array): string | undefined {
  const bytes = Buffer.from(signed, 'base64url')
  if (bytes.length < TAG_BYTES) return undefined
  // The decoder skips what is no base64url, so other texts would stand for the same bytes.
  if (bytes.toString('base64url') !== signed) return undefined
  const text = bytes.subarray(TAG_BYTES).toString('utf8')
  return timingSafeEqual(bytes.subarray(0, TAG_BYTES), tagOf(text, key)) ? text : undefined
}
