import { lookup, type LookupAddress, type LookupOptions } from 'node:dns'
import { request as requestHttp } from 'node:http'
import { request as requestHttps } from 'node:https'
import { isIP } from 'node:net'
import { isPublicAddress } from '../security/public-address.ts'

const WITHIN_MS = 5_000
/** Twenty keys of 8192 bits take less than half of it. */
const MOST_BYTES = 65_536

/** The text at an address; undefined when it cannot be had, or must not be asked for. */
export type FetchText = (url: string) => Promise<string | undefined>

/**
 * May keys be read there? On the open Internet over HTTPS, or from an origin that the operator named.
 *
 * @param origins those that may be plain HTTP, or within the operator's own network
 */
export function mayHoldKeys(url: string, origins: readonly string[]): boolean {
  if (!URL.canParse(url)) return false
  const { protocol, origin, hostname, username, password, hash } = new URL(url)
  if (username !== '' || password !== '' || hash !== '') return false
  if (origins.includes(origin)) return true
  const literal = hostname.replace(/^\[|\]$/g, '')
  return protocol === 'https:' && (isIP(literal) === 0 || isPublicAddress(literal))
}

/** Reads what partners publish. It follows no redirect, and dials the address that it has checked. */
export const openKeyFetch =
  (origins: readonly string[]): FetchText =>
  (url) =>
    mayHoldKeys(url, origins)
      ? textOf(new URL(url), origins.includes(new URL(url).origin)).catch(() => undefined)
      : Promise.resolve(undefined)

function textOf(url: URL, trusted: boolean): Promise<string | undefined> {
  const send = url.protocol === 'https:' ? requestHttps : requestHttp
  return new Promise((resolve, reject) => {
    const request = send(url, {
      agent: false,
      headers: { accept: 'application/json' },
      signal: AbortSignal.timeout(WITHIN_MS),
      ...(trusted ? {} : { lookup: publicLookup }),
    })
    request.on('error', reject)
    request.on('response', (response) => {
      response.on('error', reject)
      if (response.statusCode !== 200) {
        response.destroy()
        resolve(undefined)
        return
      }
      const parts: Buffer[] = []
      let bytes = 0
      response.on('data', (part: Buffer) => {
        bytes += part.length
        if (bytes > MOST_BYTES) response.destroy(new Error('too much'))
        else parts.push(part)
      })
      response.on('end', () => resolve(Buffer.concat(parts).toString('utf8')))
    })
    request.end()
  })
}

type Found = (
  error: NodeJS.ErrnoException | null,
  address: string | LookupAddress[],
  family?: number,
) => void

/** A name that leads to one address within is not dialled at all. */
export function publicLookup(hostname: string, options: LookupOptions, found: Found): void {
  lookup(hostname, { ...options, all: true }, (error, addresses) => {
    const [first] = addresses ?? []
    if (error !== null) found(error, [])
    else if (first === undefined || !addresses.every(({ address }) => isPublicAddress(address)))
      found(new Error('No address of the open Internet'), [])
    else if (options.all === true) found(null, addresses)
    else found(null, first.address, first.family)
  })
}
