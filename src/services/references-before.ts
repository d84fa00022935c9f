import { parseText } from '../fhir/json-body.ts'
import { referencesIn } from '../fhir/reference-map.ts'
import type { StoredVersion } from '../storage/resources.ts'

/** The references that a resource had, as they were written; none of what is new or was deleted. */
export function referencesBefore(
  current: Pick<StoredVersion, 'deleted' | 'body'> | undefined,
): ReadonlySet<string> {
  if (current === undefined || current.deleted) return new Set()
  const parsed = parseText(current.body)
  if (!parsed.ok) throw new Error('A stored resource cannot be read')
  return new Set(referencesIn(parsed.value, '').map(({ reference }) => reference))
}
