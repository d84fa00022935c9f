import { queryOf } from './fhir-model-search.ts'
import type { Write } from './fhir-model-writes.ts'
import type { Json } from './referral.ts'
import type { Sent } from './service.ts'

// How a write of the model is sent.

const METHODS = { create: 'POST', update: 'PUT', patch: 'PATCH', delete: 'DELETE' } as const

function addressOf(write: Write): string {
  if (write.does === 'create') return write.type
  return 'place' in write.aim ? write.aim.place : `${write.type}?${queryOf(write.aim.criteria)}`
}

export const tagOf = (version: number): string => `W/"${version}"`

export function requestOf(write: Write): [Sent['method'], string, unknown, Record<string, string>] {
  const method = METHODS[write.does]
  if (write.does === 'create') {
    const once = write.ifNoneExist
    const headers: Record<string, string> =
      once === undefined ? {} : { 'if-none-exist': queryOf(once) }
    return [method, write.type, write.resource, headers]
  }
  const headers: Record<string, string> =
    write.ifMatch === undefined ? {} : { 'if-match': tagOf(write.ifMatch) }
  if (write.does === 'patch')
    return [
      method,
      addressOf(write),
      write.patch,
      { ...headers, 'content-type': 'application/json-patch+json' },
    ]
  return [method, addressOf(write), write.does === 'update' ? write.resource : undefined, headers]
}

/** As an entry of a transaction; a patch is sent alone. */
export function entryOf(write: Write): Json {
  const request = { method: METHODS[write.does], url: addressOf(write) }
  if (write.does === 'create') {
    const once = write.ifNoneExist === undefined ? {} : { ifNoneExist: queryOf(write.ifNoneExist) }
    return { fullUrl: write.fullUrl, resource: write.resource, request: { ...request, ...once } }
  }
  const seen = write.ifMatch === undefined ? {} : { ifMatch: tagOf(write.ifMatch) }
  return {
    ...(write.does === 'update' ? { resource: write.resource } : {}),
    request: { ...request, ...seen },
  }
}
