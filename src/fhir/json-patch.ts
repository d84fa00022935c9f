import type { Fault } from '../errors.ts'
import { Draft } from './json-draft.ts'
import { type JsonOperation, jsonOperations } from './json-patch-operations.ts'
import { equal } from './json-pointer.ts'
import { checkPatched, Misfit, misfitFault } from './patch-misfit.ts'
import type { PatchResult } from './patches.ts'

/**
 * A JSON Patch (RFC 6902) of a parsed resource. The resource is not changed; what the patch does not touch
 * is in the result as it was, its decimals with their digits. The type and id of a resource stay.
 */
export function applyJsonPatch(resource: unknown, patch: unknown): PatchResult {
  const faults: Fault[] = []
  const operations = jsonOperations(patch, faults)
  if (faults.length > 0) return { ok: false, kind: 'malformed', faults }
  const draft = new Draft(resource)
  try {
    for (const operation of operations) apply(draft, operation)
    checkPatched(resource, draft.value, 'patch')
    return { ok: true, value: draft.value }
  } catch (error) {
    if (!(error instanceof Misfit)) throw error
    return { ok: false, kind: 'failed', faults: [misfitFault('json-patch', error)] }
  }
}

function apply(draft: Draft, { op, at, path, from = [], value }: JsonOperation): void {
  const place = `${at}.path`
  switch (op) {
    case 'add':
      draft.add(path, value, place)
      return
    case 'remove':
      draft.remove(path, place)
      return
    case 'replace':
      draft.replace(path, value, place)
      return
    case 'copy':
      draft.add(path, draft.copy(from, `${at}.from`), place)
      return
    case 'move':
      move(draft, { at, path, from })
      return
    case 'test':
      if (!equal(draft.read(path, place), value))
        throw new Misfit(place, 'The test failed: another value stands there.')
  }
}

function move(draft: Draft, { at, path, from }: Pick<JsonOperation, 'at' | 'path' | 'from'>): void {
  const source = from ?? []
  const moved = draft.read(source, `${at}.from`)
  const isInside = source.every((step, index) => step === path[index])
  if (isInside && path.length === source.length) return
  if (isInside) throw new Misfit(`${at}.path`, 'Nothing can be moved into itself.')
  draft.remove(source, `${at}.from`)
  draft.add(path, moved, `${at}.path`)
}
