import {
  newPrivateJwk,
  openTokens,
  type Tokens,
  type TokenSettings,
} from '../security/access-token.ts'
import type { Database } from '../storage/database.ts'
import { serialise } from '../storage/idempotency.ts'
import {
  insertSigningKey,
  listSigningKeys,
  retireSigningKeys,
  type StoredSigningKey,
} from '../storage/signing-keys.ts'

/** By then every process knows a new key, so that what it signs is understood everywhere. */
const SIGNS_AFTER_MS = 60_000
/** How long a process goes on with the keys that it has read. */
const READ_AGAIN_MS = 20_000
/** How long a replaced key verifies: twice the longest life of a token that it may have signed. */
const HOLDS_MS = 7_200_000

/** The keys that hold, the one that signs first. */
export function keysInForce(keys: readonly StoredSigningKey[], at: Date): StoredSigningKey[] {
  const nowMs = at.getTime()
  const holding = keys.filter(
    ({ retiredAt }) => retiredAt === null || Date.parse(retiredAt) > nowMs,
  )
  const signing =
    holding.find(({ createdAt }) => nowMs - Date.parse(createdAt) >= SIGNS_AFTER_MS) ??
    holding.at(-1)
  return signing === undefined ? [] : [signing, ...holding.filter((key) => key !== signing)]
}

/** Tokens of keys that may be rotated meanwhile: they are read anew, on use. */
export function rotatingTokens(
  read: () => Promise<readonly StoredSigningKey[]>,
  settings: TokenSettings,
  now: () => Date,
): Tokens {
  let last: { readonly atMs: number; readonly tokens: Promise<Tokens> } | undefined
  const current = (): Promise<Tokens> => {
    const at = now()
    if (last !== undefined && Math.abs(at.getTime() - last.atMs) < READ_AGAIN_MS) return last.tokens
    const tokens = read().then((keys) => openTokens(keysInForce(keys, at), settings))
    const asked = { atMs: at.getTime(), tokens }
    last = asked
    // A key that could not be asked for may be retired, so the ones read before are not gone on with.
    tokens.catch(() => {
      if (last === asked) last = undefined
    })
    return tokens
  }
  return {
    issue: async (grant, at) => (await current()).issue(grant, at),
    verify: async (token, at) => (await current()).verify(token, at),
    publicKeys: async () => (await current()).publicKeys(),
    signDetached: async (text, header) => (await current()).signDetached(text, header),
  }
}

interface At {
  readonly newId: () => string
  readonly now: () => Date
}

/** A new key signs in a minute; what the keys before it signed holds until it has long expired. */
export async function rotateSigningKey(db: Database, { newId, now }: At): Promise<string> {
  const [keyId, privateJwk, at] = [newId(), await newPrivateJwk(), now()]
  await db.asOwner(async (tx) => {
    await serialise(tx, ['prepare'])
    const before = await listSigningKeys(tx)
    await insertSigningKey(tx, { keyId, privateJwk, createdAt: at.toISOString() })
    await retireSigningKeys(
      tx,
      before.map((key) => key.keyId),
      new Date(at.getTime() + HOLDS_MS).toISOString(),
    )
  })
  return keyId
}

/**
 * For a key that others may know: from now on nothing that it signed holds, in every process within a minute.
 *
 * @returns whether there is such a key, and another that signs in its place
 */
export async function retireSigningKey(
  db: Database,
  keyId: string,
  { now }: Pick<At, 'now'>,
): Promise<boolean> {
  const at = now()
  return db.asOwner(async (tx) => {
    await serialise(tx, ['prepare'])
    const keys = await listSigningKeys(tx)
    const others = keysInForce(keys, at).filter((key) => key.keyId !== keyId)
    if (others.length === 0 || !keys.some((key) => key.keyId === keyId)) return false
    await retireSigningKeys(tx, [keyId], at.toISOString())
    return true
  })
}
