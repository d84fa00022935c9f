import { eq } from 'drizzle-orm'
import type { Tx } from './transaction.ts'
import { clients, clinics, partners, signingKeys } from './schema.ts'

export interface Clinic {
  readonly clinicId: string
  readonly name: string
}
export interface Partner extends Clinic {
  readonly partnerId: string
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
