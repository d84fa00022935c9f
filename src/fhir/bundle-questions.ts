import { isObject } from './element.ts'
import type { CallOperation, ReadOperation } from './operations.ts'

/** An entry as far as a question needs it; its resource need not be a valid one. */
export interface AskingEntry {
  readonly resource?: unknown
  readonly request?:
    | {
        readonly method: string
        readonly url: string
        readonly ifNoneMatch?: string
        readonly ifModifiedSince?: string
      }
    | undefined
}

const CALL =
  /^(?:([A-Z][A-Za-z]{1,60})\/(?:([A-Za-z0-9\-.]{1,64})\/)?)?\$([a-z][a-z0-9-]{0,60})(?:\?(.*))?$/s
/** `Observation/_search`, `_search`, `Patient/1/Observation/_search`. */
const FORM = /^(?:(.*)\/)?_search(?:\?(.*))?$/s

/** An address in a Bundle, relative to the base. */
export const relativeUrl = (url: string, baseUrl: string): string =>
  url.startsWith(`${baseUrl}/`) ? url.slice(baseUrl.length + 1) : url.replace(/^\//, '')

/** What an entry asks for that writes nothing; undefined where it writes. */
export function questionOf(
  { request, resource }: AskingEntry,
  { at, baseUrl }: { readonly at: string; readonly baseUrl: string },
): ReadOperation | CallOperation | undefined {
  if (request === undefined) return undefined
  const { method, ifNoneMatch, ifModifiedSince } = request
  const url = relativeUrl(request.url, baseUrl)
  const isRead = method === 'GET' || method === 'HEAD'
  if (!isRead && method !== 'POST') return undefined
  const headOnly = method === 'HEAD'
  const call = CALL.exec(url)
  if (call !== null) {
    const [, type, id, name = '', query = ''] = call
    const parameters = [...new URLSearchParams(query)]
    return { kind: 'call', at, type, id, name, parameters, sent: resource, headOnly }
  }
  if (isRead) return { kind: 'read', at, url, headOnly, ifNoneMatch, ifModifiedSince }
  const form = FORM.exec(url)
  if (form === null) return undefined
  const [, place = '', query = ''] = form
  const none = { ifNoneMatch: undefined, ifModifiedSince: undefined }
  return { kind: 'read', at, url: `${place}?${query}`, form: resource, headOnly, ...none }
}

/**
 * The question of an entry whose resource is broken, where it is asked what is wrong with it; undefined where
 * the resource would be taken for what it says.
 */
export const validationOf = (
  entry: unknown,
  place: { readonly at: string; readonly baseUrl: string },
): CallOperation | undefined => {
  if (!isObject(entry)) return undefined
  const { request, resource } = entry
  if (!isObject(request)) return undefined
  const { method, url } = request
  if (typeof method !== 'string' || typeof url !== 'string') return undefined
  const asked = questionOf({ resource, request: { method, url } }, place)
  return asked?.kind === 'call' && asked.name === 'validate' ? asked : undefined
}
