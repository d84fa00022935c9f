import { AppError, type Fault } from '../errors.ts'
import { applyFhirPathPatch } from './fhirpath-patch.ts'
import { applyJsonPatch } from './json-patch.ts'
import type { PatchOf } from './operations.ts'
import { withoutStaleNarrative } from './stale-narrative.ts'

/** What a patch makes of a resource, or why it cannot. */
export type PatchResult =
  | { readonly ok: true; readonly value: unknown }
  | {
      readonly ok: false
      /** Not a patch at all, or one that does not fit the resource. */
      readonly kind: 'malformed' | 'failed'
      readonly faults: readonly Fault[]
    }

type Apply = (resource: unknown, patch: unknown) => PatchResult | Promise<PatchResult>

/** @param at where the patch stands in a Bundle; undefined when it is the body itself */
export const jsonPatchOf = (patch: unknown, at?: string): PatchOf =>
  applied(applyJsonPatch, patch, at)

export const fhirPathPatchOf = (parameters: unknown, at?: string): PatchOf =>
  applied(applyFhirPathPatch, parameters, at)

const applied =
  (apply: Apply, patch: unknown, at: string | undefined): PatchOf =>
  async (current) => {
    const result = await apply(current, patch)
    if (result.ok) return withoutStaleNarrative(current, result.value)
    const faults = result.faults.map((fault) =>
      at === undefined ? fault : { ...fault, expression: at },
    )
    throw result.kind === 'malformed'
      ? new AppError('malformed-body', 'This is no patch.', faults)
      : new AppError('invalid-resource', 'The patch does not fit the resource.', faults)
  }
