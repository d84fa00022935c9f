import { type ClientKey, readKeySet } from '../security/client-keys.ts'
import type { KeySource } from '../storage/clients.ts'
import type { FetchText } from './key-fetch.ts'

/** A key that a partner takes out of its published set is refused within this time. */
const KEPT_MS = 300_000
/** An unknown key may be a new one; whoever sends unknown ones makes us ask no more often than this. */
const ASK_AGAIN_MS = 10_000
const REMEMBERED_SETS = 1_000

/** Which of a client's keys an assertion names. */
export type FindKey = (
  source: KeySource,
  named: Pick<ClientKey, 'keyId' | 'algorithm'>,
) => Promise<ClientKey | undefined>

interface Remembered {
  /** When it was asked for last, successful or not. */
  readonly askedMs: number
  readonly keptMs: number
  readonly keys: readonly ClientKey[]
}

/** Keys of clients, given at registration or published by them and read when they are needed. */
export function clientKeys(fetchText: FetchText, now: () => Date): FindKey {
  const sets = new Map<string, Promise<Remembered>>()

  const ask = async (url: string, before: Remembered | undefined): Promise<Remembered> => {
    const nowMs = now().getTime()
    const text = await fetchText(url)
    const keys = text === undefined ? undefined : readKeySet(text)
    if (keys !== undefined) return { askedMs: nowMs, keptMs: nowMs, keys }
    const kept = before !== undefined && nowMs - before.keptMs < KEPT_MS
    return kept ? { ...before, askedMs: nowMs } : { askedMs: nowMs, keptMs: nowMs, keys: [] }
  }
  const published = async (url: string, again: (known: Remembered) => boolean) => {
    const pending = sets.get(url)
    const known = await pending
    if (known !== undefined && !again(known)) return known
    // Whoever waited for the same answer meanwhile shares the next one too.
    if (sets.get(url) !== pending) return (await sets.get(url)) ?? known
    if (sets.size >= REMEMBERED_SETS) sets.clear()
    const asked = ask(url, known)
    sets.set(url, asked)
    return asked
  }

  return async ({ jwks, jwksUrl }, { keyId, algorithm }) => {
    const named = (keys: readonly ClientKey[]) =>
      keys.find((key) => key.keyId === keyId && key.algorithm === algorithm)
    if (jwks !== null) return named(readKeySet(jwks) ?? [])
    if (jwksUrl === null) return undefined
    const found = await published(jwksUrl, ({ askedMs, keptMs, keys }) => {
      const nowMs = now().getTime()
      const old = nowMs - keptMs >= KEPT_MS
      return (old || named(keys) === undefined) && nowMs - askedMs >= ASK_AGAIN_MS
    })
    return found === undefined ? undefined : named(found.keys)
  }
}
