import type { Tx } from './transaction.ts'

export interface RememberedAnswer {
  readonly requestHash: string
  readonly answer: string
}

interface Key {
  readonly clinicId: string
  readonly clientId: string
  readonly key: string
}

/**
 * Makes every other request that does the same thing wait until this transaction ends.
 *
 * @param names what must not happen twice at once: an idempotency key, a conditional create
 */
export async function serialise(tx: Tx, names: readonly string[]): Promise<void> {
  if (names.length === 0) return
  // Always in the same order, so that two requests cannot wait for each other.
  await tx.query({
    name: 'serialise',
    text: `select pg_advisory_xact_lock(hashtextextended(name, 0))
      from (select name from unnest($1::text[]) as name order by name) as ordered`,
    values: [[...new Set(names)].toSorted()],
  })
}

export async function rememberedAnswer(tx: Tx, key: Key): Promise<RememberedAnswer | undefined> {
  const rows = await tx.query<RememberedAnswer>({
    name: 'remembered-answer',
    text: `select request_hash as "requestHash", answer from idempotent_answers
      where clinic_id = $1 and client_id = $2 and key = $3`,
    values: [key.clinicId, key.clientId, key.key],
  })
  return rows[0]
}

export async function rememberAnswer(
  tx: Tx,
  key: Key & { readonly partnerId: string | undefined; readonly createdAt: string },
  remembered: RememberedAnswer,
): Promise<void> {
  await tx.query({
    name: 'remember-answer',
    text: `insert into idempotent_answers
      (clinic_id, client_id, key, partner_id, request_hash, answer, created_at)
    values ($1, $2, $3, $4, $5, $6, $7)`,
    values: [
      key.clinicId,
      key.clientId,
      key.key,
      key.partnerId ?? null,
      remembered.requestHash,
      remembered.answer,
      key.createdAt,
    ],
  })
}
