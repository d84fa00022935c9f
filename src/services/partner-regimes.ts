import { z } from 'zod'
import { REGIMES, type Regime } from '../domain/law/consent-gate.ts'
import { AppError } from '../errors.ts'
import type { Caller } from '../security/access-token.ts'
import { allowsAdministration } from '../security/scopes.ts'
import {
  type Partner,
  partnersOf,
  setRegime,
  settleRegime,
  unsettledPartners,
} from '../storage/clients.ts'
import { childrenOfPartner } from '../storage/closed-records.ts'
import { triageOf } from '../storage/child-locks.ts'
import { serialise } from '../storage/idempotency.ts'
import type { Tx } from '../storage/transaction.ts'
import { administrating } from './clients.ts'
import { settleChildren } from './consent-out.ts'
import type { Context } from './context.ts'
import { forStaff } from './staff-only.ts'
import { reading } from './unit-of-work.ts'

/** Children whose records are decided anew in one transaction, each locked against what is written about it. */
const AT_ONCE = 200
const WORKLIST_NEEDS = [{ type: 'Task', letter: 's' }] as const

type Settled = Pick<Context, 'db' | 'now' | 'baseUrl'>
type Named = Pick<Partner, 'clinicId' | 'partnerId'>

/**
 * Decides anew which records are open to each partner whose law was changed since that was decided last, by
 * whatever process. What is not finished is done at the next start.
 *
 * @returns of how many partners
 */
export async function settleRegimes(context: Settled): Promise<number> {
  const changed = await context.db.asOwner(unsettledPartners)
  for (const partner of changed) await settlePartner(context, partner)
  return changed.length
}

/** Another law is another decision about every child of the partner. */
export async function settlePartner(
  context: Settled,
  partner: Named & { readonly regime: Regime },
): Promise<void> {
  const { clinicId } = partner
  for (let after: string | undefined = ''; after !== undefined; )
    after = await context.db.inClinic({ clinicId }, (tx) => settleSome(tx, context, partner, after))
}

/** @returns where the next begin; undefined when all are done */
async function settleSome(
  tx: Tx,
  context: Settled,
  partner: Named & { readonly regime: Regime },
  after: string | undefined = '',
): Promise<string | undefined> {
  const { clinicId } = partner
  const children = await childrenOfPartner(tx, partner, { after, limit: AT_ONCE })
  // A consent that is being written was decided by the law of before: it ends first.
  await serialise(
    tx,
    children.map((child) => triageOf(clinicId, child)),
  )
  await settleChildren(tx, context, clinicId, children)
  if (children.length === AT_ONCE) return children.at(-1)
  await settleRegime(tx, partner)
  return undefined
}

/** What is said of a partner. */
export const RegimeSaid = z.strictObject({ regime: z.enum(REGIMES) })

/** Says which law the content of a partner is under, and closes or opens its records by it. */
export async function changeRegime(
  context: Context,
  caller: Caller,
  { partnerId, body }: { readonly partnerId: string; readonly body: unknown },
): Promise<ShownPartner> {
  const asked = RegimeSaid.safeParse(body)
  if (!asked.success)
    throw new AppError('invalid-request', 'The partner cannot be changed.', [
      {
        severity: 'error',
        code: 'value',
        expression: 'regime',
        rule: 'partner-regime',
        text: `JSON with regime is needed, one of ${REGIMES.join(', ')}.`,
      },
    ])
  const { regime } = asked.data
  const key = { clinicId: caller.clinicId, partnerId, regime }
  const shown = await administrating(context, caller, async (tx) => {
    if (!(await setRegime(tx, key))) throw unknown()
    caller.call.touch({ type: 'Organization', id: partnerId, did: 'updated' })
    const found = (await partnersOf(tx, caller.clinicId)).find((one) => one.partnerId === partnerId)
    if (found === undefined) throw unknown()
    return shownPartner(found)
  })
  await settlePartner(context, key)
  return shown
}

/** For administrators, and for staff who read the worklist: they narrow it to one of them. */
export async function registeredPartners(
  context: Context,
  caller: Caller,
): Promise<ShownPartner[]> {
  if (caller.partnerId !== undefined)
    throw forStaff(
      'The partners of a clinic are for its staff.',
      'Which partners there are is for the staff of the clinic.',
    )
  const needs = allowsAdministration(caller.scopes) ? [] : WORKLIST_NEEDS
  return reading(context, caller, needs, async (tx) =>
    (await partnersOf(tx, caller.clinicId)).map(shownPartner),
  )
}

/** A partner as staff see it. */
export type ShownPartner = Pick<Partner, 'partnerId' | 'name' | 'regime'>

const shownPartner = ({ partnerId, name, regime }: Partner): ShownPartner => ({
  partnerId,
  name,
  regime,
})

const unknown = (): AppError => new AppError('not-found', 'There is no such partner.')
