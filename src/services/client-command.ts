import { z } from 'zod'
import { REGIMES } from '../domain/law/consent-gate.ts'
import { AppError } from '../errors.ts'
import { insertClient, insertPartner, isRegistered, setClientKeys } from '../storage/clients.ts'
import type { Database } from '../storage/database.ts'
import { type AskedKeys, checkedKeys, checkedRegistration } from './client-registration.ts'

interface Commanded {
  readonly db: Database
  readonly now: () => Date
  readonly newId: () => string
  /** Where keys may be read although it is no HTTPS, or not on the open Internet. */
  readonly origins: readonly string[]
}

const Asked = z.object({
  clinic: z.uuid(),
  name: z.string().optional(),
  scope: z.string().optional(),
  jwks: z.unknown().optional(),
  jwksUrl: z.string().optional(),
  partner: z.uuid().optional(),
  'new-partner': z.string().min(1).max(200).optional(),
  regime: z.enum(REGIMES).optional(),
})

/** Registers a client as the owner of the database, and its partner when that is new. Answers its id. */
export async function addClient(
  { db, now, newId, origins }: Commanded,
  value: unknown,
): Promise<string> {
  const read = Asked.safeParse(value)
  if (!read.success)
    throw new AppError('invalid-request', 'CLINIC, PARTNER and the regime cannot be read.')
  const { clinic: clinicId, 'new-partner': partnerName, regime, ...asked } = read.data
  const partnerId = partnerName === undefined ? asked.partner : newId()
  const { name, scope, jwks, jwksUrl } = asked
  const client = checkedRegistration(
    {
      name,
      scope,
      ...(partnerId === undefined ? {} : { partnerId }),
      ...(jwks === undefined ? {} : { jwks }),
      ...(jwksUrl === undefined ? {} : { jwksUrl }),
    },
    origins,
  )
  const createdAt = now().toISOString()
  const clientId = newId()
  await db.asOwner(async (tx) => {
    if (!(await isRegistered(tx, clinicId, asked.partner)))
      throw new AppError('not-found', 'There is no such clinic or partner of it.')
    if (partnerName !== undefined && partnerId !== undefined)
      await insertPartner(tx, {
        clinicId,
        partnerId,
        name: partnerName,
        regime: regime ?? 'unknown',
        createdAt,
      })
    await insertClient(tx, {
      ...client,
      partnerId: partnerId ?? null,
      clinicId,
      clientId,
      createdAt,
    })
  })
  return clientId
}

/** @returns whether there is such a client that is not revoked */
export function changeKeys(
  { db, origins }: Commanded,
  { clinicId, clientId, ...asked }: AskedKeys & { clinicId: string; clientId: string },
): Promise<boolean> {
  const source = checkedKeys(asked, origins)
  return db.asOwner((tx) => setClientKeys(tx, { clinicId, clientId, ...source }))
}
