import type { Fault } from '../errors.ts'
import { parseBody } from './json-body.ts'
import type { PatchOf } from './operations.ts'
import { fhirPathPatchOf, jsonPatchOf } from './patches.ts'
import type { Resource } from './r4/types.ts'

/**
 * The patch that an entry of a Bundle carries: Parameters are a FHIRPath Patch, a Binary holds a JSON Patch
 * (R4 3.1.0.11.1). Undefined for anything else.
 */
export function bundlePatch(sent: Resource, at: string, faults: Fault[]): PatchOf | undefined {
  if (sent.resourceType === 'Parameters') return fhirPathPatchOf(sent, at)
  if (sent.resourceType !== 'Binary' || !/^application\/json-patch\+json\b/.test(sent.contentType))
    return undefined
  const parsed = parseBody(Buffer.from(sent.data ?? '', 'base64'))
  if (parsed.ok) return jsonPatchOf(parsed.value, `${at}.data`)
  faults.push(...parsed.faults.map((fault) => ({ ...fault, expression: `${at}.data` })))
  return undefined
}
