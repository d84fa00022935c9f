import { and, eq } from 'drizzle-orm'
import type { Regime } from '../domain/law/consent-gate.ts'
import type { Tx } from './transaction.ts'
import { clients, clinics, partners, signingKeys } from './schema.ts'

export interface Clinic {
  readonly clinicId: string
  readonly name: string
}
export interface Partner extends Clinic {
  readonly partnerId: string
  /** The law that what it sends is under. */
  readonly regime: Regime
}
export interface Client {
  readonly clinicId: string
  readonly clientId: string
  readonly partnerId: string | null
  readonly name: string
  readonly scope: string
}
export interface SigningKey {
  readonly keyId: string
  readonly privateJwk: string
}

type At = { readonly createdAt: string }

export const listClients = (tx: Tx): Promise<Client[]> =>
  tx.drizzle.select().from(clients).orderBy(clients.name, clients.clientId)

export async function findClient(tx: Tx, clientId: string): Promise<Client | undefined> {
  const [found] = await tx.drizzle.select().from(clients).where(eq(clients.clientId, clientId))
  return found
}

export async function insertClinic(tx: Tx, clinic: Clinic & At): Promise<void> {
  await tx.drizzle.insert(clinics).values(clinic).onConflictDoNothing()
}

export async function insertPartner(tx: Tx, partner: Partner & At): Promise<void> {
  await tx.drizzle.insert(partners).values(partner).onConflictDoNothing()
}

export const listPartners = (tx: Tx): Promise<Partner[]> =>
  tx.drizzle.select().from(partners).orderBy(partners.name, partners.partnerId)

/** The law that a partner's content is under; `unknown` too for one that is not registered. */
export async function regimeOf(
  tx: Tx,
  { clinicId, partnerId }: { readonly clinicId: string; readonly partnerId: string },
): Promise<Regime> {
  const [found] = await tx.query<{ regime: Regime }>({
    name: 'regime-of-partner',
    text: 'select regime from partners where clinic_id = $1 and partner_id = $2',
    values: [clinicId, partnerId],
  })
  return found?.regime ?? 'unknown'
}

/** @returns whether there is such a partner */
export async function setRegime(
  tx: Tx,
  { clinicId, partnerId, regime }: Omit<Partner, 'name'>,
): Promise<boolean> {
  const changed = await tx.drizzle
    .update(partners)
    .set({ regime })
    .where(and(eq(partners.clinicId, clinicId), eq(partners.partnerId, partnerId)))
    .returning({ partnerId: partners.partnerId })
  return changed.length > 0
}

export async function insertClient(tx: Tx, client: Client & At): Promise<void> {
  await tx.drizzle.insert(clients).values(client).onConflictDoNothing()
}

export async function hasClinics(tx: Tx): Promise<boolean> {
  return (await tx.drizzle.select().from(clinics).limit(1)).length > 0
}

/** Newest first: the first signs, all verify. */
export const listSigningKeys = async (tx: Tx): Promise<SigningKey[]> => {
  const rows = await tx.drizzle.select().from(signingKeys)
  return rows.toSorted((a, b) => b.createdAt.localeCompare(a.createdAt))
}

export async function insertSigningKey(tx: Tx, key: SigningKey & At): Promise<void> {
  await tx.drizzle.insert(signingKeys).values(key)
}
