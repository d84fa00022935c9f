import { createCipheriv, createDecipheriv, createHmac } from 'node:crypto'

const CIPHER = 'aes-256-gcm'
const IV_BYTES = 12
const TAG_BYTES = 16

const derived = (key: Uint8Array, use: string): Buffer =>
  createHmac('sha256', key).update(use).digest()

/**
 * The text as it may stand in an address although it says something about a child, a name by which a page is
 * sorted. Nobody else reads it, changes it or makes one.
 *
 * @param binding what it holds for; not part of the text, but opened with the same alone
 */
export function sealedText(text: string, key: Uint8Array, binding: string): string {
  // Made of the text: the same link twice is the same text, and no chance is needed.
  const iv = createHmac('sha256', derived(key, 'seal: start'))
    .update(JSON.stringify([binding, text]))
    .digest()
    .subarray(0, IV_BYTES)
  const cipher = createCipheriv(CIPHER, derived(key, 'seal: text'), iv)
  cipher.setAAD(Buffer.from(binding, 'utf8'))
  const sealed = Buffer.concat([cipher.update(text, 'utf8'), cipher.final()])
  return Buffer.concat([iv, cipher.getAuthTag(), sealed]).toString('base64url')
}

/** The text again; undefined when it was not sealed with this key for this binding. */
export function openedText(sealed: string, key: Uint8Array, binding: string): string | undefined {
  const bytes = Buffer.from(sealed, 'base64url')
  if (bytes.length < IV_BYTES + TAG_BYTES || bytes.toString('base64url') !== sealed)
    return undefined
  const decipher = createDecipheriv(
    CIPHER,
    derived(key, 'seal: text'),
    bytes.subarray(0, IV_BYTES),
    { authTagLength: TAG_BYTES },
  )
  decipher.setAAD(Buffer.from(binding, 'utf8'))
  decipher.setAuthTag(bytes.subarray(IV_BYTES, IV_BYTES + TAG_BYTES))
  try {
    const text = decipher.update(bytes.subarray(IV_BYTES + TAG_BYTES))
    return Buffer.concat([text, decipher.final()]).toString('utf8')
  } catch {
    return undefined
  }
}
