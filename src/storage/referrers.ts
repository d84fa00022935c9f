import type { Tx } from './transaction.ts'

interface Key {
  readonly type: string
  readonly id: string
}

/**
 * Which of the resources something kept refers to, as `Type/id`. What the service computed (its ids are
 * UUIDs of version 8) does not count, nor what tells of origin or use: a Provenance, the audit. Nor does a link between
 * copies of a child: a partner that deletes its own must not learn from the refusal that the clinic knows
 * of others.
 *
 * @param besides resources whose references do not count: they are changed in the same transaction
 */
export async function referredTo(
  tx: Tx,
  clinicId: string,
  { keys, besides }: { readonly keys: readonly Key[]; readonly besides: readonly Key[] },
): Promise<ReadonlySet<string>> {
  const rows = await tx.query<{ key: string }>({
    name: 'referred-to',
    text: `select wanted.type || '/' || wanted.id as key
      from unnest($2::text[], $3::text[]) as wanted(type, id)
      where exists (
        select 1 from index_references x
        join resources r on r.clinic_id = x.clinic_id and r.type = x.type and r.id = x.id
        where x.clinic_id = $1 and x.target_id = wanted.id and x.target_type = wanted.type
          and not (x.type = 'Patient' and x.path = 'link.other') and not r.deleted and ${COUNTS}
      ) or (wanted.type = 'Patient' and exists (
        select 1 from resources r
        where r.clinic_id = $1 and r.patient_id = wanted.id and r.type <> 'Patient'
          and not r.deleted and ${COUNTS}
      ))`,
    values: [
      clinicId,
      keys.map(({ type }) => type),
      keys.map(({ id }) => id),
      besides.map(({ type, id }) => `${type}/${id}`),
    ],
  })
  return new Set(rows.map(({ key }) => key))
}

const COUNTS = `substr(r.id, 15, 1) <> '8' and r.type not in ('AuditEvent', 'Provenance')
  and r.type || '/' || r.id <> all($4::text[])`
