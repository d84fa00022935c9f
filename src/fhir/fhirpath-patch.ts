import type { PatchResult } from './patches.ts'

export const applyFhirPathPatch = (_resource: unknown, _patch: unknown): PatchResult => ({
  ok: false,
  kind: 'malformed',
  faults: [],
})
