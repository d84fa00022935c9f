import { DecimalText } from './decimal.ts'
import type { AnyResource } from './r4/types.ts'

/** Elements of type uri, url, oid or uuid that may name an entry of the Bundle; a canonical never does. */
const URI_ELEMENTS = new Set([
  'reference',
  'url',
  'uri',
  'valueUri',
  'valueUrl',
  'valueUuid',
  'valueOid',
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

/**
 * The resource with the full URLs of a Bundle replaced by where its entries are kept (R4 3.1.0.11): in
 * references, in elements of type uri, url, oid and uuid, and in links of the narrative.
 */
export function withReferences(
  resource: AnyResource,
  kept: ReadonlyMap<string, string>,
): AnyResource {
  return replaced(resource, kept) as AnyResource
}

function replaced(value: unknown, kept: ReadonlyMap<string, string>): unknown {
  if (Array.isArray(value)) return value.map((item: unknown) => replaced(item, kept))
  if (typeof value !== 'object' || value === null || value instanceof DecimalText) return value
  return Object.fromEntries(
    Object.entries(value).map(([name, member]) => {
      if (name === 'div' && typeof member === 'string') return [name, linksReplaced(member, kept)]
      return [name, URI_ELEMENTS.has(name) ? uriReplaced(member, kept) : replaced(member, kept)]
    }),
  )
}

function uriReplaced(value: unknown, kept: ReadonlyMap<string, string>): unknown {
  if (typeof value === 'string') return kept.get(value) ?? value
  return Array.isArray(value)
    ? value.map((item: unknown) => uriReplaced(item, kept))
    : replaced(value, kept)
}

const linksReplaced = (div: string, kept: ReadonlyMap<string, string>): string =>
  div.replaceAll(
    /\b(href|src)=(["'])([^"']*)\2/g,
    (whole, name: string, quote: string, url: string) => {
      const target = kept.get(url)
      return target === undefined ? whole : `${name}=${quote}${target}${quote}`
    },
  )
