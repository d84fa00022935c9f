import type { Tx } from './transaction.ts'

/**
 * From here on the transaction sees the whole clinic, not one partner's compartment. For the computation
 * alone: an exclusion that the clinic itself recorded must count, whoever asked. What it derives is
 * written into the compartment of the referral.
 */
export async function seeWholeClinic(tx: Tx): Promise<void> {
  await tx.query({
    name: 'see-whole-clinic',
    text: `select set_config('app.partner', '', true)`,
  })
}

/** From here on the transaction sees again what its caller may see. */
export async function seeCompartment(tx: Tx, partnerId: string | undefined): Promise<void> {
  await tx.query({
    name: 'see-compartment',
    text: `select set_config('app.partner', $1, true)`,
    values: [partnerId ?? ''],
  })
}
