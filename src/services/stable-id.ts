import { createHash } from 'node:crypto'

/** A UUID of version 8 (RFC 9562): the same text has the same id. */
export function stableId(text: string): string {
  const hex = createHash('sha256').update(text).digest('hex')
  const variant = ((Number.parseInt(hex.slice(16, 17), 16) % 4) + 8).toString(16)
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-8${hex.slice(13, 16)}-${variant}${hex.slice(17, 20)}-${hex.slice(20, 32)}`
}

/** Of what the service begins and people carry on, such as a reminder (RFC 9562, its namespace for URLs). */
const NAMESPACE = '6ba7b8119dad11d180b400c04fd430c8'

/** A UUID of version 5: the same occasion has the same id, and what has it may be changed by people. */
export function occasionId(text: string): string {
  const hex = createHash('sha1').update(Buffer.from(NAMESPACE, 'hex')).update(text).digest('hex')
  const variant = ((Number.parseInt(hex.slice(16, 17), 16) % 4) + 8).toString(16)
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-5${hex.slice(13, 16)}-${variant}${hex.slice(17, 20)}-${hex.slice(20, 32)}`
}

/** Is it the id of something that was computed? All other ids are random, UUIDs of version 4. */
export const isStableId = (id: string): boolean =>
  /^[0-9a-f]{8}-[0-9a-f]{4}-8[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/.test(id)
