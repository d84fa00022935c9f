import type { PatchResult } from './patches.ts'

export const applyJsonPatch = (_resource: unknown, _patch: unknown): PatchResult => ({
  ok: false,
  kind: 'malformed',
  faults: [],
})
