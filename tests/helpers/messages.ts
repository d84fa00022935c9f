import type { Message } from '../../src/domain/messages/message.ts'

const isMessage = (value: object): value is Message =>
  ('key' in value && 'values' in value) || 'all' in value

/** Every message anywhere in a result. */
export function messagesIn(value: unknown): Message[] {
  if (typeof value !== 'object' || value === null) return []
  if (isMessage(value)) return [value]
  return Object.values(value).flatMap(messagesIn)
}
