import type { Fault } from '../errors.ts'
import { bundleFault } from './bundle-faults.ts'
import { isOfAnother } from './full-url.ts'
import { questionOf, relativeUrl } from './bundle-questions.ts'
import type { BundleOperation, Meant, PatchOf, Places, SentEntry } from './operations.ts'
import { rowOf } from './registry.ts'
import type { Interaction, ResourceTypeRow } from './registry-row.ts'
import { isTyped } from './validate.ts'
import type { Resource } from './r4/types.ts'

const PLACE = /^([A-Z][A-Za-z]{1,60})(?:\/([A-Za-z0-9\-.]{1,64}))?(?:\?(.*))?$/s

/** An address of a write inside a Bundle, relative to the base. */
interface Address {
  readonly row: ResourceTypeRow
  readonly id: string | undefined
  readonly query: string | undefined
}

interface Reading {
  /** Ours: an address may be absolute below it. */
  readonly baseUrl: string
  readonly patchOf: (sent: Resource, at: string, faults: Fault[]) => PatchOf | undefined
}

export const placesInBundle = (index: number): Places => ({
  at: `Bundle.entry[${index}]`,
  resourceAt: `Bundle.entry[${index}].resource`,
  conditionAt: `Bundle.entry[${index}].request.url`,
  ifMatchAt: `Bundle.entry[${index}].request.ifMatch`,
})

/** What one entry asks for; its faults are added to the list, then there is nothing. */
export function bundleOperation(
  entry: SentEntry,
  index: number,
  { baseUrl, patchOf }: Reading,
  faults: Fault[],
): BundleOperation | undefined {
  const { request } = entry
  if (request === undefined) return undefined
  const places = placesInBundle(index)
  const question = questionOf(entry, { at: places.at, baseUrl })
  if (question !== undefined) return question
  const { method } = request
  const address = addressOf(relativeUrl(request.url, baseUrl))
  if (address === undefined) {
    const text = `The url of this ${method} is a type that is kept here${method === 'POST' ? '' : ', with an id or a condition'}.`
    faults.push(bundleFault(`${places.at}.request.url`, 'entry-url', text, 'not-supported'))
    return undefined
  }
  const asked = { entry, places, address, faults }
  if (method === 'POST') return creation(asked)
  if (method === 'PUT') return replacement(asked)
  if (method === 'DELETE') return removal(asked)
  return patching(asked, patchOf)
}

function addressOf(url: string): Address | undefined {
  const [, type = '', id, query] = PLACE.exec(url) ?? []
  const row = rowOf(type)
  return row === undefined ? undefined : { row, id, query: query === '' ? undefined : query }
}

interface Asked {
  readonly entry: SentEntry
  readonly places: Places
  readonly address: Address
  readonly faults: Fault[]
}

function creation({ entry, places, address, faults }: Asked): BundleOperation | undefined {
  const { row, id, query } = address
  const resource = sentResource({ entry, places, address, faults }, 'create')
  if (resource === undefined) return undefined
  if (id !== undefined || query !== undefined) {
    const text = `The url of this POST is ${row.type}.`
    faults.push(bundleFault(`${places.at}.request.url`, 'entry-url', text))
    return undefined
  }
  return {
    kind: 'create',
    ...places,
    conditionAt: `${places.at}.request.ifNoneExist`,
    type: row.type,
    resource,
    fullUrl: entry.fullUrl,
    ifNoneExist: entry.request?.ifNoneExist?.replace(/^\?/, ''),
  }
}

function replacement(asked: Asked): BundleOperation | undefined {
  const { entry, places, address } = asked
  const meant = meantBy(asked)
  const resource = sentResource(asked, 'update')
  if (meant === undefined || resource === undefined) return undefined
  return {
    kind: 'update',
    ...places,
    type: address.row.type,
    resource,
    fullUrl: entry.fullUrl,
    meant,
    ifMatch: entry.request?.ifMatch,
    ifNoneMatch: entry.request?.ifNoneMatch,
  }
}

function removal(asked: Asked): BundleOperation | undefined {
  const { entry, places, address } = asked
  const meant = meantBy(asked)
  if (meant === undefined || !takes(asked, 'delete')) return undefined
  return {
    kind: 'delete',
    ...places,
    type: address.row.type,
    meant,
    ifMatch: entry.request?.ifMatch,
  }
}

function patching(asked: Asked, patchOf: Reading['patchOf']): BundleOperation | undefined {
  const { entry, places, address, faults } = asked
  const meant = meantBy(asked)
  const { resource } = entry
  if (meant === undefined || !takes(asked, 'patch')) return undefined
  const patch =
    resource !== undefined && isTyped(resource)
      ? patchOf(resource, places.resourceAt, faults)
      : undefined
  if (patch === undefined) {
    const text =
      'A PATCH carries Parameters (FHIRPath Patch), or a Binary with a JSON Patch as its data.'
    faults.push(bundleFault(places.resourceAt, 'entry-resource', text, 'required'))
    return undefined
  }
  return {
    kind: 'patch',
    ...places,
    type: address.row.type,
    patch,
    meant,
    ifMatch: entry.request?.ifMatch,
  }
}

function meantBy({ places, address: { row, id, query }, faults }: Asked): Meant | undefined {
  if (id !== undefined && query === undefined) return { id }
  if (id === undefined && query !== undefined) return { condition: query }
  const text = `The url is ${row.type} with an id, or with a condition.`
  faults.push(bundleFault(`${places.at}.request.url`, 'entry-url', text))
  return undefined
}

function takes({ places, address: { row }, faults }: Asked, interaction: Interaction): boolean {
  if (row.interactions.includes(interaction)) return true
  if (interaction === 'create' && row.togetherOnly === true) return true
  const text = `There is no ${interaction} of a ${row.type} in this service.`
  faults.push(bundleFault(`${places.at}.request.method`, 'entry-method', text, 'not-supported'))
  return false
}

function sentResource(asked: Asked, interaction: Interaction): Resource | undefined {
  const { entry, places, address, faults } = asked
  if (!takes(asked, interaction)) return undefined
  const { resource, fullUrl } = entry
  if (resource !== undefined && isTyped(resource) && resource.resourceType === address.row.type) {
    if (!isOfAnother(fullUrl, resource)) return resource
    const other = 'The fullUrl is the address of another resource than the one of this entry.'
    faults.push(bundleFault(`${places.at}.fullUrl`, 'full-url', other))
    return undefined
  }
  const isMissing = resource === undefined
  const text = isMissing
    ? `A ${entry.request?.method} carries the ${address.row.type} as the resource of its entry.`
    : `The resource of this entry is a ${address.row.type}, as its url says.`
  const code = isMissing ? 'required' : undefined
  faults.push(bundleFault(places.resourceAt, 'entry-resource', text, code))
  return undefined
}
