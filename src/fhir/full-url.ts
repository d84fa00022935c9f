import type { Complaint } from './inspection.ts'
import { isResourceType } from './resource-types.ts'
import type { Check } from './value-checks.ts'

const ABSOLUTE = /^[A-Za-z][A-Za-z0-9+.-]*:\S+$/
/** What follows these names is of one form. */
const FORMS: readonly (readonly [start: RegExp, whole: RegExp])[] = [
  [/^urn:uuid:/i, /^urn:uuid:[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}$/i],
  [/^urn:oid:/i, /^urn:oid:[0-2](?:\.(?:0|[1-9]\d*))+$/i],
  [/^https?:/i, /^https?:\/\/[^/?#\s]+(?:[/?#]\S*)?$/i],
]

const WRONG: Complaint = {
  rule: 'full-url',
  code: 'value',
  text: 'A fullUrl must be an absolute URI: an address, or urn:uuid: and a UUID',
}

/** R4 2.36.4.1: what an entry is called in its Bundle is absolute, or references to it would mean nothing. */
export function checkFullUrl(uri: Check): Check {
  return (value, run) => {
    const before = run.faults.length
    uri(value, run)
    if (run.faults.length === before && typeof value === 'string' && !isAbsolute(value))
      run.report(WRONG)
  }
}

const OF_RESOURCE = /\/([A-Z][A-Za-z]+)\/([A-Za-z0-9\-.]{1,64})$/

/** Is it the address of another resource than the one beside it? It SHALL NOT disagree with the id (Bundle.entry.fullUrl). */
export function isOfAnother(
  fullUrl: string | undefined,
  { resourceType, id }: { readonly resourceType: string; readonly id?: string },
): boolean {
  const found = OF_RESOURCE.exec(fullUrl ?? '')
  if (found === null || !isResourceType(found[1])) return false
  return found[1] !== resourceType || (id !== undefined && found[2] !== id)
}

function isAbsolute(uri: string): boolean {
  const form = FORMS.find(([start]) => start.test(uri))
  return form === undefined ? ABSOLUTE.test(uri) : form[1].test(uri)
}
