import { createHash, randomBytes } from 'node:crypto'
import { RENDERING } from '../fhir/audit-record.ts'
import type { Tokens } from '../security/access-token.ts'
import { isPassword, PASSWORD_LENGTH, sealPassword } from '../security/password.ts'
import type { Database } from '../storage/database.ts'
import {
  countFailure,
  deleteSession,
  findAccount,
  forgetFailures,
  insertSession,
  type Lapse,
  type SealedAccount,
  seeSession,
} from '../storage/staff.ts'
import { type Audit, NO_CLINIC } from './audit.ts'
import type { TokenCall } from './token-audit.ts'

/** A day at work, and a pause in it. Common practice, no source. */
const LONGEST_MS = 10 * 3_600_000
const UNSEEN_MS = 30 * 60_000
/** So many wrong passwords in a row, and nobody tries for a while. Common practice, no source. */
const MOST_FAILURES = 10
const LOCKED_MS = 15 * 60_000
const LONGEST_LOGIN = 100
const SECRET_BYTES = 32

export interface SignIn {
  readonly db: Database
  readonly audit: Pick<Audit, 'record'>
  readonly tokens: Pick<Tokens, 'issue'>
  readonly now: () => Date
  readonly newId: () => string
}

/** Who is signed in, with a token for what the service is asked on his behalf. */
export interface StaffMember {
  readonly name: string
  readonly token: string
}

/** Without an account a password is checked all the same, so that nobody learns who has one. */
const nobodys = sealPassword(randomBytes(SECRET_BYTES).toString('base64'))

/** @returns what the browser keeps, or undefined: whatever was wrong, nobody is told what */
export async function signIn(
  at: SignIn,
  given: { readonly login: string; readonly password: string },
  call: TokenCall,
): Promise<string | undefined> {
  const { account, reason } = await checked(at, given)
  const isIn = account !== undefined && reason === 'password'
  const held = isIn ? await begin(at, account) : undefined
  await at.audit.record(account?.clinicId ?? NO_CLINIC, {
    v: RENDERING,
    kind: 'signin',
    interaction: isIn ? 'signed-in' : 'sign-in-refused',
    action: 'E',
    outcome: isIn ? 0 : 4,
    client: account?.clientId,
    ...call,
    about: [],
    patients: [],
    reason,
  })
  return held
}

interface Checked {
  readonly account: SealedAccount | undefined
  /** A fixed word, never of what was sent. */
  readonly reason: 'password' | 'wrong-password' | 'locked' | 'unknown-account'
}

/** A wrong password is counted; while an account is locked not even the right one is right. */
async function checked(
  { db, now }: SignIn,
  given: { readonly login: string; readonly password: string },
): Promise<Checked> {
  const login = loginOf(given.login)
  const account = await db.asOwner((tx) => findAccount(tx, login))
  const password = given.password.slice(0, PASSWORD_LENGTH.longest)
  const fits = await isPassword(password, account?.password ?? (await nobodys))
  if (account === undefined) return { account, reason: 'unknown-account' }
  const at = now()
  if (account.lockedUntil !== null && new Date(account.lockedUntil) > at)
    return { account, reason: 'locked' }
  if (fits) return { account, reason: 'password' }
  const lockedUntil = new Date(at.getTime() + LOCKED_MS).toISOString()
  await db.asOwner((tx) => countFailure(tx, account, { most: MOST_FAILURES, lockedUntil }))
  return { account, reason: 'wrong-password' }
}

async function begin({ db, now }: SignIn, account: SealedAccount): Promise<string> {
  const { clinicId, clientId } = account
  const secret = randomBytes(SECRET_BYTES).toString('base64url')
  await db.inClinic({ clinicId }, async (tx) => {
    await forgetFailures(tx, account)
    await insertSession(tx, { clinicId, session: hashOf(secret), clientId }, lapseAt(now()))
  })
  return `${clinicId}.${secret}`
}

/** A login as it is kept: nobody remembers whether it began with a capital. */
export const loginOf = (typed: string): string => typed.trim().toLowerCase().slice(0, LONGEST_LOGIN)

/** Who holds this, if the session is not over. */
export async function staffMember(
  { db, tokens, now, newId }: SignIn,
  held: string | undefined,
): Promise<StaffMember | undefined> {
  const key = keyOf(held)
  if (key === undefined) return undefined
  const at = now()
  const found = await db.inClinic(key, (tx) => seeSession(tx, key, lapseAt(at)))
  if (found === undefined) return undefined
  const { clientId, scope, name } = found
  const token = await tokens.issue(
    { clinicId: key.clinicId, partnerId: undefined, clientId, scope },
    { tokenId: newId(), nowS: Math.floor(at.getTime() / 1_000) },
  )
  return { name, token }
}

/** What was held lets nobody in any more. */
export async function signOut({ db }: SignIn, held: string | undefined): Promise<void> {
  const key = keyOf(held)
  if (key !== undefined) await db.inClinic(key, (tx) => deleteSession(tx, key))
}

const HELD = /^([0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12})\.([\w-]{43})$/

function keyOf(held = ''): { readonly clinicId: string; readonly session: Buffer } | undefined {
  const [, clinicId, secret] = HELD.exec(held) ?? []
  return clinicId === undefined || secret === undefined
    ? undefined
    : { clinicId, session: hashOf(secret) }
}

const hashOf = (secret: string): Buffer => createHash('sha256').update(secret).digest()

const lapseAt = (at: Date): Lapse => ({
  at: at.toISOString(),
  since: new Date(at.getTime() - LONGEST_MS).toISOString(),
  unseenSince: new Date(at.getTime() - UNSEEN_MS).toISOString(),
})
