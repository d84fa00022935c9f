import type { Caller } from '../security/access-token.ts'
import { allows } from '../security/scopes.ts'
import type { Done } from './write.ts'

/**
 * May its sender see what is kept after a write? A create and an update answer with what was sent; what was
 * there before, found by a condition or patched, is for a token that reads.
 */
export const maySee = ({ scopes }: Caller, { did, operation: { kind, type } }: Done): boolean =>
  (did !== 'nothing' && kind !== 'patch') || allows(scopes, type, 'r')
