import { createHash } from 'node:crypto'
import { REGISTRY } from './registry.ts'

/** Raised when the same table of parameters leads to other values than before. */
const EXTRACTION = 4

/** What the index of a clinic was written with: another signature, and it must be written anew. */
export function searchSignature(): string {
  const table = REGISTRY.map(({ type, search, columns }) => ({ type, search, columns }))
  return createHash('sha256')
    .update(JSON.stringify([EXTRACTION, table]))
    .digest('hex')
}
