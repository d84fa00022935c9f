import { DecimalText } from './decimal.ts'
import { isUuid } from './primitives.ts'
import type { AnyResource } from './r4/types.ts'

/** Elements of type uri or url that may name an entry of the Bundle; a canonical never does. */
const URI_ELEMENTS = new Set([
  'reference',
  'url',
  'uri',
  'valueUri',
  'valueUrl',
  'instantiatesUri',
  'source',
  'system',
  'policy',
])

/** Where a reference stands and what it says. */
export interface FoundReference {
  readonly expression: string
  readonly reference: string
}

/** Every literal reference of a resource, with its FHIRPath. */
export function referencesIn(value: unknown, at: string): FoundReference[] {
  if (Array.isArray(value))
    return value.flatMap((item, index) => referencesIn(item, `${at}[${index}]`))
  if (typeof value !== 'object' || value === null || value instanceof DecimalText) return []
  return Object.entries(value).flatMap(([name, member]) =>
    name === 'reference' && typeof member === 'string'
      ? [{ expression: `${at}.reference`, reference: member }]
      : referencesIn(member, `${at}.${name}`),
  )
}

export interface KeptEntry {
  /** `Type/id` */
  readonly place: string
  /** The one that the Bundle makes or found; undefined where a version that is named is one of ours already. */
  readonly version?: number | undefined
}

/** From the full URL of an entry of a Bundle to where it is kept. */
export type KeptEntries = ReadonlyMap<string, KeptEntry>

/**
 * The resource with the full URLs of a Bundle replaced by where its entries are kept (R4 3.1.0.11): in
 * references, in elements of type uri, url and uuid, and in links of the narrative. What names a version
 * of an entry gets the version that is kept.
 *
 * @param fullUrl of the entry the resource stands in: a relative reference is read beside it (2.36.4.1)
 */
export function withReferences<R extends AnyResource>(
  resource: R,
  kept: KeptEntries,
  fullUrl?: string,
): R {
  const base = /^(https?:.*\/)[A-Z][A-Za-z]+\/[A-Za-z0-9\-.]{1,64}$/.exec(fullUrl ?? '')?.[1]
  const entry = (url: string): KeptEntry | undefined =>
    kept.get(url) ?? (base === undefined ? undefined : kept.get(`${base}${url}`))
  const target = (reference: string): string | undefined => {
    const whole = entry(reference)
    if (whole !== undefined) return whole.place
    const [url, version] = reference.split('/_history/', 2)
    const versioned = url === undefined || version === undefined ? undefined : entry(url)
    return versioned?.version === undefined
      ? undefined
      : `${versioned.place}/_history/${versioned.version}`
  }
  return replaced(resource, target) as R
}

type Target = (reference: string) => string | undefined

function replaced(value: unknown, target: Target): unknown {
  if (Array.isArray(value)) return value.map((item: unknown) => replaced(item, target))
  if (typeof value !== 'object' || value === null || value instanceof DecimalText) return value
  return Object.fromEntries(
    Object.entries(value).map(([name, member]) => {
      if (name === 'div' && typeof member === 'string') return [name, linksReplaced(member, target)]
      if (name === 'valueUuid') return [name, uuidReplaced(member, target)]
      return [name, URI_ELEMENTS.has(name) ? uriReplaced(member, target) : replaced(member, target)]
    }),
  )
}

/** A uuid takes no address, so it gets the id of what is kept; an oid takes neither, and stays (R4 2.24.0.1). */
function uuidReplaced(value: unknown, target: Target): unknown {
  const id = typeof value === 'string' ? target(value)?.split('/')[1] : undefined
  return id === undefined || !isUuid(`urn:uuid:${id}`) ? value : `urn:uuid:${id}`
}

function uriReplaced(value: unknown, target: Target): unknown {
  if (typeof value === 'string') return target(value) ?? value
  return Array.isArray(value)
    ? value.map((item: unknown) => uriReplaced(item, target))
    : replaced(value, target)
}

const linksReplaced = (div: string, target: Target): string =>
  div.replaceAll(
    /\b(href|src)=(["'])([^"']*)\2/g,
    (whole, name: string, quote: string, url: string) => {
      const place = target(url)
      return place === undefined ? whole : `${name}=${quote}${place}${quote}`
    },
  )
