import { and, eq, lt, or } from 'drizzle-orm'
import { clients } from './schema.ts'
import { staffAccounts, staffSessions } from './staff-schema.ts'
import type { Tx } from './transaction.ts'

export interface Account {
  readonly clinicId: string
  readonly clientId: string
  readonly login: string
}
export interface SealedAccount extends Account {
  readonly password: string
  readonly failures: number
  readonly lockedUntil: string | null
}
export interface Session {
  readonly clinicId: string
  readonly session: Buffer
}

const ofAccount = ({ clinicId, clientId }: Pick<Account, 'clinicId' | 'clientId'>) =>
  and(eq(staffAccounts.clinicId, clinicId), eq(staffAccounts.clientId, clientId))
const ofSession = ({ clinicId, session }: Session) =>
  and(eq(staffSessions.clinicId, clinicId), eq(staffSessions.session, session))

/**
 * As the owner: whoever signs in does not name a clinic, so a login that two clinics gave is nobody's, as is
 * one whose client was revoked.
 */
export async function findAccount(tx: Tx, login: string): Promise<SealedAccount | undefined> {
  const [found, ...others] = await tx.query<SealedAccount>({
    text: `select a.clinic_id as "clinicId", a.client_id as "clientId", a.login, a.password, a.failures,
        a.locked_until as "lockedUntil"
      from staff_accounts a join clients c using (clinic_id, client_id)
      where a.login = $1 and c.revoked_at is null limit 2`,
    values: [login],
  })
  return others.length === 0 ? found : undefined
}

/** In sight, by name. */
export const listAccounts = (tx: Tx) =>
  tx.drizzle
    .select({
      clinicId: staffAccounts.clinicId,
      clientId: staffAccounts.clientId,
      login: staffAccounts.login,
      name: clients.name,
      scope: clients.scope,
      revokedAt: clients.revokedAt,
    })
    .from(staffAccounts)
    .innerJoin(
      clients,
      and(
        eq(clients.clinicId, staffAccounts.clinicId),
        eq(clients.clientId, staffAccounts.clientId),
      ),
    )
    .orderBy(staffAccounts.login)

/** @returns whether the login is new in its clinic */
export async function insertAccount(
  tx: Tx,
  account: Account & { readonly password: string; readonly createdAt: string },
): Promise<boolean> {
  const added = await tx.drizzle
    .insert(staffAccounts)
    .values(account)
    .onConflictDoNothing()
    .returning({ login: staffAccounts.login })
  return added.length > 0
}

/** A new password ends every session. */
export async function setPassword(tx: Tx, account: Account, password: string): Promise<void> {
  const { clinicId, clientId } = account
  await tx.drizzle
    .update(staffAccounts)
    .set({ password, failures: 0, lockedUntil: null })
    .where(ofAccount(account))
  await tx.drizzle
    .delete(staffSessions)
    .where(and(eq(staffSessions.clinicId, clinicId), eq(staffSessions.clientId, clientId)))
}

/** Counts a wrong password; of many at once each is counted. */
export async function countFailure(
  tx: Tx,
  { clinicId, clientId }: Account,
  { most, lockedUntil }: { readonly most: number; readonly lockedUntil: string },
): Promise<void> {
  await tx.query({
    text: `update staff_accounts set failures = (failures + 1) % $3,
        locked_until = case when failures + 1 >= $3 then $4::timestamptz else locked_until end
      where clinic_id = $1 and client_id = $2`,
    values: [clinicId, clientId, most, lockedUntil],
  })
}

export async function forgetFailures(tx: Tx, account: Account): Promise<void> {
  await tx.drizzle
    .update(staffAccounts)
    .set({ failures: 0, lockedUntil: null })
    .where(ofAccount(account))
}

/** Begins a session and forgets those of the clinic that are over. */
export async function insertSession(
  tx: Tx,
  { clinicId, session, clientId }: Session & { readonly clientId: string },
  { at, since, unseenSince }: Lapse,
): Promise<void> {
  await tx.drizzle
    .delete(staffSessions)
    .where(
      and(
        eq(staffSessions.clinicId, clinicId),
        or(lt(staffSessions.startedAt, since), lt(staffSessions.seenAt, unseenSince)),
      ),
    )
  await tx.drizzle
    .insert(staffSessions)
    .values({ clinicId, session, clientId, startedAt: at, seenAt: at })
}

/** Instants: now, and those before which a session must not have begun, or been seen last. */
export interface Lapse {
  readonly at: string
  readonly since: string
  readonly unseenSince: string
}

export interface SignedIn {
  readonly clientId: string
  readonly name: string
  readonly scope: string
}

/** Who holds a session that is not over, and whose client is not revoked; it is seen now. */
export async function seeSession(
  tx: Tx,
  { clinicId, session }: Session,
  { at, since, unseenSince }: Lapse,
): Promise<SignedIn | undefined> {
  const [found] = await tx.query<SignedIn>({
    name: 'see-session',
    text: `update staff_sessions s set seen_at = $3 from clients c
      where s.clinic_id = $1 and s.session = $2 and s.started_at >= $4 and s.seen_at >= $5
        and c.clinic_id = $1 and c.client_id = s.client_id and c.revoked_at is null
      returning s.client_id as "clientId", c.name, c.scope`,
    values: [clinicId, session, at, since, unseenSince],
  })
  return found
}

export async function deleteSession(tx: Tx, session: Session): Promise<void> {
  await tx.drizzle.delete(staffSessions).where(ofSession(session))
}
