import type { Tx } from './transaction.ts'

/**
 * Uses up the identifier of an assertion. Of all who try at once, in whichever process, one succeeds: the
 * primary key decides.
 */
export async function useAssertion(
  tx: Tx,
  {
    clinicId,
    clientId,
    jti,
    expiresAt,
    at,
  }: {
    readonly clinicId: string
    readonly clientId: string
    readonly jti: string
    /** When it would be refused as expired; only until then must it be remembered. */
    readonly expiresAt: string
    readonly at: string
  },
): Promise<boolean> {
  await tx.query({
    name: 'forget-assertions',
    text: 'delete from used_assertions where clinic_id = $1 and client_id = $2 and expires_at < $3',
    values: [clinicId, clientId, at],
  })
  const added = await tx.query({
    name: 'use-assertion',
    text: `insert into used_assertions (clinic_id, client_id, jti, expires_at)
      values ($1, $2, $3, $4) on conflict do nothing returning 1`,
    values: [clinicId, clientId, jti, expiresAt],
  })
  return added.length > 0
}
