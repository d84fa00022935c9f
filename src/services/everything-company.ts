import { COMPARTMENT_ROWS } from '../fhir/compartment.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import { paramOf } from '../fhir/query-parameters.ts'
import { referencesIn } from '../fhir/reference-map.ts'
import { rowOf } from '../fhir/registry.ts'
import type { Caller } from '../security/access-token.ts'
import { allows } from '../security/scopes.ts'
import { readResources, type StoredVersion } from '../storage/resources.ts'
import { includesOf } from '../storage/search-includes.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { readEntry } from './referral-record.ts'

const IN_COMPARTMENT = new Set<string>(COMPARTMENT_ROWS.map(({ type }) => type))

/** People, places, organisations and devices that the matches name; nothing about other children. */
export async function referredTo(
  tx: Tx,
  { baseUrl }: Context,
  { clinicId, scopes }: Caller,
  matches: readonly StoredVersion[],
): Promise<StoredVersion[]> {
  const keys = new Map(
    matches.flatMap((match) =>
      referencesIn(readEntry(match).resource, '').flatMap(({ reference }) => {
        const target = ownTarget(reference, baseUrl)
        return target === undefined ||
          IN_COMPARTMENT.has(target.type) ||
          !allows(scopes, target.type, 'r')
          ? []
          : [[`${target.type}/${target.id}`, target] as const]
      }),
    ),
  )
  if (keys.size === 0) return []
  return (await readResources(tx, clinicId, [...keys.values()])).filter(({ deleted }) => !deleted)
}

/** What says where the matches come from. */
export async function provenanceOf(
  tx: Tx,
  caller: Caller,
  matches: readonly StoredVersion[],
): Promise<readonly StoredVersion[]> {
  const row = rowOf('Provenance')
  const param = row === undefined ? undefined : paramOf(row, 'target')
  if (param === undefined || matches.length === 0) return []
  const include = { kind: 'revinclude', type: 'Provenance', param, iterate: false } as const
  const { resources } = await includesOf(tx, caller, { includes: [include], matches }, (type) =>
    allows(caller.scopes, type, 'r'),
  )
  return resources
}
