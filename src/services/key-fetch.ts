import { openExchange } from './outgoing-request.ts'

const WITHIN_MS = 5_000
/** Twenty keys of 8192 bits take less than half of it. */
const MOST_BYTES = 65_536

/** The text at an address; undefined when it cannot be had, or must not be asked for. */
export type FetchText = (url: string) => Promise<string | undefined>

/** Reads what partners publish. */
export function openKeyFetch(origins: readonly string[]): FetchText {
  const exchange = openExchange(origins)
  return async (url) => {
    try {
      const { status, text } = await exchange({
        url,
        method: 'GET',
        headers: { accept: 'application/json' },
        withinMs: WITHIN_MS,
        mostBytes: MOST_BYTES,
      })
      return status === 200 ? text : undefined
    } catch {
      return undefined
    }
  }
}
