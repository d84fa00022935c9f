import { lookup, type LookupAddress, type LookupOptions } from 'node:dns'
import { request as requestHttp } from 'node:http'
import { request as requestHttps } from 'node:https'
import { isIP, type LookupFunction } from 'node:net'
import { isPublicAddress } from '../security/public-address.ts'

/** A request of ours to somebody else's server. */
export interface Outgoing {
  readonly url: string
  readonly method: 'GET' | 'POST'
  readonly headers: Readonly<Record<string, string>>
  readonly body?: string
  /** From the first byte to the last of the answer. */
  readonly withinMs: number
  /** An answer that is longer counts as none. */
  readonly mostBytes: number
}

export interface Incoming {
  readonly status: number
  readonly text: string
}

/** Throws when there is no answer, or when it must not be asked for. */
export type Exchange = (outgoing: Outgoing) => Promise<Incoming>

/**
 * May we call there? On the open Internet over HTTPS, or an origin that the operator named. A name is looked at
 * again when it is dialled.
 *
 * @param origins those that may be plain HTTP, or within the operator's own network
 */
export function mayBeCalled(url: string, origins: readonly string[]): boolean {
  if (!URL.canParse(url)) return false
  const { protocol, origin, hostname, username, password, hash } = new URL(url)
  if (username !== '' || password !== '' || hash !== '') return false
  if (origins.includes(origin)) return true
  const literal = hostname.replace(/^\[|\]$/g, '')
  return protocol === 'https:' && (isIP(literal) === 0 || isPublicAddress(literal))
}

/** Every address of a name. */
type Resolve = (
  hostname: string,
  options: LookupOptions & { readonly all: true },
  found: (error: NodeJS.ErrnoException | null, addresses?: LookupAddress[]) => void,
) => void

/** Calls where it may. It follows no redirect, and dials the address that it has checked. */
export const openExchange =
  (origins: readonly string[], resolve: Resolve = lookup): Exchange =>
  (outgoing) =>
    mayBeCalled(outgoing.url, origins)
      ? exchange(
          outgoing,
          origins.includes(new URL(outgoing.url).origin) ? undefined : publicLookup(resolve),
        )
      : Promise.reject(new Error('This address is not called'))

/** @param checked how a name is looked up; undefined: by whatever means there are */
function exchange(
  { url, method, headers, body = '', withinMs, mostBytes }: Outgoing,
  checked: LookupFunction | undefined,
): Promise<Incoming> {
  const target = new URL(url)
  const send = target.protocol === 'https:' ? requestHttps : requestHttp
  return new Promise((resolve, reject) => {
    const request = send(target, {
      method,
      agent: false,
      headers,
      signal: AbortSignal.timeout(withinMs),
      ...(checked === undefined ? {} : { lookup: checked }),
    })
    request.on('error', reject)
    request.on('response', (response) => {
      response.on('error', reject)
      const parts: Buffer[] = []
      let bytes = 0
      response.on('data', (part: Buffer) => {
        bytes += part.length
        if (bytes > mostBytes) response.destroy(new Error('The answer is too long'))
        else parts.push(part)
      })
      response.on('end', () =>
        resolve({
          status: response.statusCode ?? 0,
          text: Buffer.concat(parts).toString('utf8'),
        }),
      )
    })
    request.end(body)
  })
}

/** A name that leads to one address within is not dialled at all. What was found is what is dialled. */
export const publicLookup =
  (resolve: Resolve): LookupFunction =>
  (hostname, options, found) => {
    resolve(hostname, { ...options, all: true }, (error, addresses = []) => {
      const [first] = addresses
      if (error !== null) found(error, [])
      else if (first === undefined || !addresses.every(({ address }) => isPublicAddress(address)))
        found(new Error('No address of the open Internet'), [])
      else if (options.all === true) found(null, addresses)
      else found(null, first.address, first.family)
    })
  }
