import { and, eq, isNull, sql } from 'drizzle-orm'
import type { Regime } from '../domain/law/consent-gate.ts'
import { clients, clinics, partners } from './schema.ts'
import type { Statement, Tx } from './transaction.ts'

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
/** Where the keys are that its assertions are signed with: a JSON Web Key Set, or where one is read. */
export interface KeySource {
  readonly jwks: string | null
  readonly jwksUrl: string | null
}
export interface RegisteredClient extends Client, KeySource {
  readonly createdAt: string
  readonly revokedAt: string | null
}

type At = { readonly createdAt: string }

/** In sight: of the clinic whose transaction it is, of all clinics as the owner. */
export const listClients = (tx: Tx): Promise<RegisteredClient[]> =>
  tx.drizzle.select().from(clients).orderBy(clients.name, clients.clientId)

/** A client names itself without its clinic, so a name that two clinics gave is nobody's. */
export async function findClient(tx: Tx, clientId: string): Promise<RegisteredClient | undefined> {
  const [found, ...others] = await tx.drizzle
    .select()
    .from(clients)
    .where(eq(clients.clientId, clientId))
    .limit(2)
  return others.length === 0 ? found : undefined
}

/** The one client whose keys are read there; of an address that several share it is nobody. */
export async function findClientOfKeys(
  tx: Tx,
  jwksUrl: string,
): Promise<RegisteredClient | undefined> {
  const [found, ...others] = await tx.drizzle
    .select()
    .from(clients)
    .where(and(eq(clients.jwksUrl, jwksUrl), isNull(clients.revokedAt)))
    .limit(2)
  return others.length === 0 ? found : undefined
}

/** Is it registered, and not revoked? One statement, for every check of a token that was issued. */
export const activeClient = ({
  clinicId,
  clientId,
  partnerId = null,
}: {
  readonly clinicId: string
  readonly clientId: string
  readonly partnerId?: string | null
}): Statement => ({
  name: 'active-client',
  text: `select 1 from clients where clinic_id = $1 and client_id = $2
    and partner_id is not distinct from $3::uuid and revoked_at is null`,
  values: [clinicId, clientId, partnerId],
})

/** @returns whether there is such a client, revoked by now or before */
export async function revokeClient(
  tx: Tx,
  { clinicId, clientId, at }: { clinicId: string; clientId: string; at: string },
): Promise<boolean> {
  const found = await tx.query({
    text: `update clients set revoked_at = coalesce(revoked_at, $3)
      where clinic_id = $1 and client_id = $2 returning 1`,
    values: [clinicId, clientId, at],
  })
  return found.length > 0
}

/** @returns whether there is such a client */
export async function setClientKeys(
  tx: Tx,
  client: KeySource & { readonly clinicId: string; readonly clientId: string },
): Promise<boolean> {
  const found = await tx.query({
    text: `update clients set jwks = $3, jwks_url = $4
      where clinic_id = $1 and client_id = $2 and revoked_at is null returning 1`,
    values: [client.clinicId, client.clientId, client.jwks, client.jwksUrl],
  })
  return found.length > 0
}

export async function insertClinic(tx: Tx, clinic: Clinic & At): Promise<void> {
  await tx.drizzle.insert(clinics).values(clinic).onConflictDoNothing()
}

export async function insertPartner(tx: Tx, partner: Partner & At): Promise<void> {
  await tx.drizzle.insert(partners).values(partner).onConflictDoNothing()
}

export const listPartners = (tx: Tx): Promise<Partner[]> =>
  tx.drizzle.select().from(partners).orderBy(partners.name, partners.partnerId)

/** Those of a clinic. */
export const partnersOf = (tx: Tx, clinicId: string): Promise<Partner[]> =>
  tx.drizzle.select().from(partners).where(eq(partners.clinicId, clinicId))

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

/** Partners whose law is not the one by which their records were closed last. As the owner. */
export const unsettledPartners = (tx: Tx): Promise<Partner[]> =>
  tx.drizzle
    .select()
    .from(partners)
    .where(sql`${partners.settledRegime} is distinct from ${partners.regime}`)
    .orderBy(partners.clinicId, partners.partnerId)

/** Its records are closed and open by this law. */
export async function settleRegime(
  tx: Tx,
  { clinicId, partnerId, regime }: Omit<Partner, 'name'>,
): Promise<void> {
  await tx.drizzle
    .update(partners)
    .set({ settledRegime: regime })
    .where(and(eq(partners.clinicId, clinicId), eq(partners.partnerId, partnerId)))
}

/** @returns whether it is new */
export async function insertClient(
  tx: Tx,
  client: Client & At & Partial<KeySource>,
): Promise<boolean> {
  const added = await tx.drizzle
    .insert(clients)
    .values(client)
    .onConflictDoNothing()
    .returning({ clientId: clients.clientId })
  return added.length > 0
}

export async function hasClinics(tx: Tx): Promise<boolean> {
  return (await tx.drizzle.select().from(clinics).limit(1)).length > 0
}

/** Is there this clinic, and this partner of it when one is named? As the owner. */
export async function isRegistered(
  tx: Tx,
  clinicId: string,
  partnerId: string | undefined,
): Promise<boolean> {
  const found = await tx.query({
    text: `select 1 from clinics where clinic_id = $1 and ($2::uuid is null or exists
      (select 1 from partners p where p.clinic_id = $1 and p.partner_id = $2))`,
    values: [clinicId, partnerId ?? null],
  })
  return found.length > 0
}
