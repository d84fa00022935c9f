import { AppError } from '../errors.ts'
import { allowsAdministration, parseScopes } from '../security/scopes.ts'
import { newPassword, PASSWORD_LENGTH, sealPassword } from '../security/password.ts'
import { insertClient, isRegistered } from '../storage/clients.ts'
import type { Database } from '../storage/database.ts'
import { findAccount, insertAccount, setPassword } from '../storage/staff.ts'
import { loginOf } from './staff-sign-in.ts'

/** What the pages need: they read, and nothing else. */
export const READING = 'system/*.rs'
const LOGIN = /^[a-z0-9][a-z0-9._@-]{1,99}$/
const NAME = /^(?=.*\S)[^\p{C}]{1,200}$/u

interface Commanded {
  readonly db: Database
  readonly now: () => Date
  readonly newId: () => string
}

export interface NewAccount {
  readonly clinicId: string
  readonly login: string
  /** As the log and the pages name him or her. */
  readonly name: string
  readonly scope?: string | undefined
  /** Chosen by the person; one is made without it. */
  readonly password?: string | undefined
}

/** An account for a person, as a client of the clinic of its own. Answers its client id and password. */
export async function addAccount(
  { db, now, newId }: Commanded,
  asked: NewAccount,
): Promise<{ readonly clientId: string; readonly password: string }> {
  const login = loginOf(asked.login)
  const { clinicId, name, scope = READING, password = newPassword() } = asked
  const faults = faultsOf({ login, name, scope, password })
  if (faults.length > 0) throw new AppError('invalid-request', faults.join(' '))
  const sealed = await sealPassword(password)
  const createdAt = now().toISOString()
  const clientId = newId()
  await db.asOwner(async (tx) => {
    if (!(await isRegistered(tx, clinicId, undefined)))
      throw new AppError('not-found', 'There is no such clinic.')
    const client = { clinicId, clientId, partnerId: null, name, scope, createdAt }
    await insertClient(tx, client)
    const account = { clinicId, clientId, login, password: sealed, createdAt }
    if (!(await insertAccount(tx, account)))
      throw new AppError('invalid-request', 'There is an account of this login.')
  })
  return { clientId, password }
}

/** Another password; whoever is signed in with the account is signed out. */
export async function renewPassword(
  { db }: Pick<Commanded, 'db'>,
  login: string,
  password = newPassword(),
): Promise<{ readonly clinicId: string; readonly clientId: string; readonly password: string }> {
  const fault = passwordFault(password)
  if (fault !== undefined) throw new AppError('invalid-request', fault)
  const sealed = await sealPassword(password)
  return db.asOwner(async (tx) => {
    const account = await findAccount(tx, loginOf(login))
    if (account === undefined) throw new AppError('not-found', 'There is no such account.')
    await setPassword(tx, account, sealed)
    return { clinicId: account.clinicId, clientId: account.clientId, password }
  })
}

function faultsOf({
  login,
  name,
  scope,
  password,
}: {
  readonly login: string
  readonly name: string
  readonly scope: string
  readonly password: string
}): readonly string[] {
  const scopes = parseScopes(scope)
  return [
    ...(LOGIN.test(login) ? [] : ['A login has 2 to 100 of a-z, 0-9, dot, hyphen, _ and @.']),
    ...(NAME.test(name) ? [] : ['A name has 1 to 200 signs.']),
    ...(scopes === undefined || allowsAdministration(scopes)
      ? ['The scope is one of SMART v2 system scopes; the pages do not administer.']
      : []),
    ...[passwordFault(password)].filter((one) => one !== undefined),
  ]
}

const passwordFault = (password: string): string | undefined =>
  password.length >= PASSWORD_LENGTH.shortest && password.length <= PASSWORD_LENGTH.longest
    ? undefined
    : `A password has ${PASSWORD_LENGTH.shortest} to ${PASSWORD_LENGTH.longest} signs.`
