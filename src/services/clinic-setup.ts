import { newPrivateJwk } from '../security/access-token.ts'
import { hasClinics, insertClient, insertClinic, insertPartner } from '../storage/clients.ts'
import type { Database } from '../storage/database.ts'
import { serialise } from '../storage/idempotency.ts'
import { insertSigningKey, listSigningKeys, type SigningKey } from '../storage/signing-keys.ts'

/** An invented clinic with one partner, so that a newcomer can send a referral. */
export const DEMO = {
  clinic: { clinicId: '0e7a4c1e-5f0b-4c6e-9b1d-6a3f2c9d8e01', name: 'Demo clinic (invented)' },
  partner: {
    partnerId: '7b2d9f64-3a1c-4e58-8d70-1f5e6c2b9a02',
    name: 'Demo therapy practice (invented)',
    /** A private practice sends for treatment, which needs no consent on record. */
    regime: 'hipaa',
  },
  clients: {
    staff: 'demo-staff',
    partner: 'demo-partner',
  },
  /** What the clinic's own tools may do, and what a partner may. */
  scopes: { staff: 'system/*.cruds', partner: 'system/*.cruds' },
} as const

interface At {
  readonly newId: () => string
  readonly now: () => Date
}

/**
 * What a database needs before the first request: a key to sign tokens with, and on an empty one the demo
 * clinic. Two services that start together do it once.
 */
export async function prepare(db: Database, { newId, now }: At): Promise<readonly SigningKey[]> {
  const privateJwk = await newPrivateJwk()
  const createdAt = now().toISOString()
  return db.asOwner(async (tx) => {
    await serialise(tx, ['prepare'])
    if ((await listSigningKeys(tx)).length === 0)
      await insertSigningKey(tx, { keyId: newId(), privateJwk, createdAt })
    if (!(await hasClinics(tx))) {
      const { clinic, partner, clients, scopes } = DEMO
      const { clinicId } = clinic
      await insertClinic(tx, { ...clinic, createdAt })
      await insertPartner(tx, { ...partner, clinicId, createdAt })
      const common = { clinicId, createdAt }
      await insertClient(tx, {
        ...common,
        clientId: clients.staff,
        scope: scopes.staff,
        partnerId: null,
        name: 'Demo staff tools (invented)',
      })
      await insertClient(tx, {
        ...common,
        clientId: clients.partner,
        scope: scopes.partner,
        partnerId: partner.partnerId,
        name: 'Demo records system (invented)',
      })
    }
    return listSigningKeys(tx)
  })
}
