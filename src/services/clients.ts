import { AppError } from '../errors.ts'
import { readKeySet } from '../security/client-keys.ts'
import type { Caller } from '../security/access-token.ts'
import { allowsAdministration } from '../security/scopes.ts'
import {
  insertClient,
  listClients,
  listPartners,
  type RegisteredClient,
  revokeClient,
} from '../storage/clients.ts'
import type { Tx } from '../storage/transaction.ts'
import { checkedRegistration } from './client-registration.ts'
import type { Context } from './context.ts'
import { unitOfWork } from './unit-of-work.ts'

/** A registered client as an administrator sees it. */
export interface ShownClient {
  readonly clientId: string
  readonly name: string
  readonly partnerId?: string
  readonly scope: string
  readonly jwksUrl?: string
  /** Of the keys that were given at registration. */
  readonly keyIds: readonly string[]
  readonly createdAt: string
  readonly revokedAt?: string
}

export function shownClient(client: RegisteredClient): ShownClient {
  const { clientId, name, partnerId, scope, jwks, jwksUrl, createdAt, revokedAt } = client
  return {
    clientId,
    name,
    ...(partnerId === null ? {} : { partnerId }),
    scope,
    ...(jwksUrl === null ? {} : { jwksUrl }),
    keyIds: jwks === null ? [] : (readKeySet(jwks) ?? []).map(({ keyId }) => keyId),
    createdAt,
    ...(revokedAt === null ? {} : { revokedAt }),
  }
}

/** Lets a system in. Its id is ours: no clinic learns which ids another has given. */
export function registerClient(
  context: Context,
  caller: Caller,
  value: unknown,
  origins: readonly string[],
): Promise<ShownClient> {
  return administrating(context, caller, async (tx) => {
    const { partnerId = null, ...registration } = checkedRegistration(value, origins)
    if (partnerId !== null && !(await hasPartner(tx, partnerId)))
      throw new AppError('invalid-request', 'The registration cannot be used.', [
        {
          severity: 'error',
          code: 'not-found',
          expression: 'partnerId',
          rule: 'client-registration',
          text: 'There is no such partner of this clinic.',
        },
      ])
    const client = {
      ...registration,
      partnerId,
      clinicId: caller.clinicId,
      clientId: context.newId(),
      createdAt: context.now().toISOString(),
    }
    await insertClient(tx, client)
    caller.call.touch({ type: 'Device', id: client.clientId, did: 'created' })
    return shownClient({ ...client, revokedAt: null })
  })
}

export const registeredClients = (context: Context, caller: Caller): Promise<ShownClient[]> =>
  administrating(context, caller, async (tx) => (await listClients(tx)).map(shownClient))

export function registeredClient(
  context: Context,
  caller: Caller,
  clientId: string,
): Promise<ShownClient> {
  return administrating(context, caller, async (tx) => {
    const found = (await listClients(tx)).find((client) => client.clientId === clientId)
    if (found === undefined) throw unknown()
    caller.call.touch({ type: 'Device', id: clientId, did: 'read' })
    return shownClient(found)
  })
}

/** From now on it gets no token, and within a minute none that it holds is taken. */
export function revokeRegisteredClient(
  context: Context,
  caller: Caller,
  clientId: string,
): Promise<void> {
  return administrating(context, caller, async (tx) => {
    const { clinicId } = caller
    const at = context.now().toISOString()
    if (!(await revokeClient(tx, { clinicId, clientId, at }))) throw unknown()
    caller.call.touch({ type: 'Device', id: clientId, did: 'deleted' })
  })
}

const unknown = () => new AppError('not-found', 'There is no such client.')

const hasPartner = async (tx: Tx, partnerId: string): Promise<boolean> =>
  (await listPartners(tx)).some((partner) => partner.partnerId === partnerId)

/** For staff of the clinic whose token holds the scope `admin`. */
export async function administrating<T>(
  context: Context,
  caller: Caller,
  work: (tx: Tx) => Promise<T>,
): Promise<T> {
  if (caller.partnerId !== undefined || !allowsAdministration(caller.scopes))
    throw new AppError('scope-missing', 'The token does not allow this.', [
      {
        severity: 'error',
        code: 'forbidden',
        expression: 'http.Authorization',
        rule: 'scope',
        text: 'The scope admin is needed, of staff of the clinic.',
      },
    ])
  return unitOfWork(context, caller, [], work)
}
