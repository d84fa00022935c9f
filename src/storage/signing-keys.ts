import { signingKeys } from './schema.ts'
import type { Tx } from './transaction.ts'

export interface SigningKey {
  readonly keyId: string
  readonly privateJwk: string
}
export interface StoredSigningKey extends SigningKey {
  readonly createdAt: string
  /** From then on nothing that it signed holds. */
  readonly retiredAt: string | null
}

/** All that ever were, newest first. */
export const listSigningKeys = async (tx: Tx): Promise<StoredSigningKey[]> => {
  const rows = await tx.drizzle.select().from(signingKeys)
  return rows.toSorted((a, b) => Date.parse(b.createdAt) - Date.parse(a.createdAt))
}

export async function insertSigningKey(
  tx: Tx,
  key: SigningKey & { readonly createdAt: string },
): Promise<void> {
  await tx.drizzle.insert(signingKeys).values(key)
}

/** Never later than it was to retire before. */
export async function retireSigningKeys(
  tx: Tx,
  keyIds: readonly string[],
  retiredAt: string,
): Promise<void> {
  await tx.query({
    text: `update signing_keys set retired_at = least(retired_at, $2) where key_id = any($1)`,
    values: [keyIds, retiredAt],
  })
}
