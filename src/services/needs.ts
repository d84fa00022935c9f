import type { BundleOperation } from '../fhir/operations.ts'
import type { Need } from './unit-of-work.ts'

/** What the service says of itself is open to everybody. */
export const isMetadata = (url: string): boolean => /^metadata(?:\?|$)/.test(url)

/** What an interaction needs to be allowed, alone or inside a Bundle. */
export function needsOf(operation: BundleOperation): Need[] {
  const { kind } = operation
  // A service function that is called checks for itself.
  if (kind === 'call') return []
  if (kind === 'read') {
    if (isMetadata(operation.url)) return []
    // A search of a compartment is allowed as its types are, when it is made.
    if (/^[A-Za-z]+\/[^/?]+\/(?:[A-Z]|\*)/.test(operation.url)) return []
    const [, type = '', rest = ''] = /^([A-Za-z]+)(.*)$/s.exec(operation.url) ?? []
    return type === '' ? [] : [{ type, letter: /^\/(?!_history)/.test(rest) ? 'r' : 's' }]
  }
  const { type } = operation
  if (kind === 'create') return [{ type, letter: 'c' }]
  if (kind === 'delete') return [{ type, letter: 'd' }]
  const mayCreate = kind === 'update' && 'condition' in operation.meant
  return [{ type, letter: 'u' }, ...(mayCreate ? [{ type, letter: 'c' } as const] : [])]
}
