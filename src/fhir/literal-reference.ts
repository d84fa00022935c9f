export interface Target {
  readonly type: string
  readonly id: string
}

const RELATIVE =
  /^([A-Z][A-Za-z]{1,60})\/([A-Za-z0-9\-.]{1,64})(?:\/_history\/[A-Za-z0-9\-.]{1,64})?$/

/**
 * The resource of ours that a literal reference names: relative, or absolute below our own base, also with
 * a version. Undefined for everything else: `Patient/1` of another server is not our Patient/1.
 */
export function ownTarget(reference: unknown, baseUrl: string): Target | undefined {
  if (typeof reference !== 'string') return undefined
  const relative = reference.startsWith(`${baseUrl}/`)
    ? reference.slice(baseUrl.length + 1)
    : reference
  const [, type, id] = RELATIVE.exec(relative) ?? []
  return type === undefined || id === undefined ? undefined : { type, id }
}

/** The version that a literal reference names, as it is written. */
export const versionNamed = (reference: string): string | undefined =>
  /\/_history\/([A-Za-z0-9\-.]{1,64})$/.exec(reference)?.[1]

/** Schemes that carry, run or address something, and lead to no place where a resource is found. */
const NO_PLACE = /^(?:javascript|vbscript|data|blob|about|view-source|mailto|tel|sms):/i

/** An absolute URL need not be one of a FHIR server, but a resource has to be found there (R4 2.3.0.1). */
export const isNoPlace = (reference: string): boolean => NO_PLACE.test(reference)

/** Does a reference leave this service, or stay inside its own resource? Then there is nothing to look up. */
export const isForeign = (reference: string, baseUrl: string): boolean =>
  reference.startsWith('#') ||
  (/^[a-z][a-z0-9+.-]*:/i.test(reference) &&
    !/^urn:(?:uuid|oid):/i.test(reference) &&
    !reference.startsWith(`${baseUrl}/`))
