import { eq } from 'drizzle-orm'
import { indexStates } from './index-schema.ts'
import { clinics } from './schema.ts'
import type { Tx } from './transaction.ts'

export interface IndexKey {
  readonly type: string
  readonly id: string
}

/** The place of a resource in the order in which the index is written: by type, oldest first. */
export interface IndexPlace extends IndexKey {
  /** ISO instant in UTC, to the microsecond. */
  readonly createdAt: string
}

/** How far the index of a clinic has been written with the table of this signature. */
export interface IndexState {
  readonly signature: string
  /** The last resource that was written; none when all are. */
  readonly reached?: IndexPlace
}

/** Every clinic that there is; for the owner of the tables. */
export async function listClinicIds(tx: Tx): Promise<string[]> {
  const rows = await tx.drizzle
    .select({ clinicId: clinics.clinicId })
    .from(clinics)
    .orderBy(clinics.clinicId)
  return rows.map(({ clinicId }) => clinicId)
}

export async function readIndexState(tx: Tx, clinicId: string): Promise<IndexState | undefined> {
  const [row] = await tx.drizzle
    .select()
    .from(indexStates)
    .where(eq(indexStates.clinicId, clinicId))
  if (row === undefined) return undefined
  const [signature = '', type, id, createdAt] = row.signature.split(' ')
  return type === undefined || id === undefined || createdAt === undefined
    ? { signature }
    : { signature, reached: { type, id, createdAt } }
}

export async function writeIndexState(
  tx: Tx,
  clinicId: string,
  { signature, reached }: IndexState,
): Promise<void> {
  const place = reached === undefined ? [] : [reached.type, reached.id, reached.createdAt]
  const written = [signature, ...place].join(' ')
  await tx.drizzle
    .insert(indexStates)
    .values({ clinicId, signature: written })
    .onConflictDoUpdate({ target: indexStates.clinicId, set: { signature: written } })
}
