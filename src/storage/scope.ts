import type { Scope } from './database.ts'
import type { NewVersion } from './resource-writes.ts'
import type { Tx } from './transaction.ts'

/**
 * From here on the transaction sees the whole clinic, not one partner's compartment nor what a token leaves
 * of a type. For the computation alone: an exclusion that the clinic itself recorded must count, whoever
 * asked. What it derives is written into the compartment of the referral.
 */
export async function seeWholeClinic(tx: Tx): Promise<void> {
  await tx.query({
    name: 'see-whole-clinic',
    text: `select set_config('app.partner', '', true), set_config('app.narrowed', '', true)`,
  })
}

/** From here on the transaction sees whole types, of its own compartment: for our own checks and writes. */
export async function seeWholeTypes(tx: Tx): Promise<void> {
  await tx.query({
    name: 'see-whole-types',
    text: `select set_config('app.narrowed', '', true)`,
  })
}

/** From here on the transaction sees again what its caller may see. */
export async function seeCompartment(
  tx: Tx,
  { partnerId, narrowed }: Pick<Scope, 'partnerId' | 'narrowed'>,
): Promise<void> {
  await tx.query({
    name: 'see-compartment',
    text: `select set_config('app.partner', $1, true), set_config('app.narrowed', $2, true)`,
    values: [partnerId ?? '', narrowed ?? ''],
  })
}

/** Which of these versions, by their place in the list, a narrowed token does not leave. */
export async function outsideGrant(
  tx: Tx,
  narrowed: string,
  versions: readonly Pick<NewVersion, 'type' | 'body'>[],
): Promise<ReadonlySet<number>> {
  if (versions.length === 0) return new Set()
  const rows = await tx.query<{ place: number }>({
    name: 'outside-grant',
    text: `select (v.place - 1)::int as place
      from unnest($2::text[], $3::text[]) with ordinality as v(type, body, place)
      where within_grant($1, v.type, v.body) = 0`,
    values: [narrowed, versions.map(({ type }) => type), versions.map(({ body }) => body)],
  })
  return new Set(rows.map(({ place }) => place))
}
