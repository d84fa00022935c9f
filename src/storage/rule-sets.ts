import type { Tx } from './transaction.ts'

/** A Library that holds a rule set: the JSON that is returned. */
export interface StoredRuleSet {
  readonly id: string
  readonly version: number
  readonly status: string
  readonly body: string
}

/** The rule set of a clinic that is in force; undefined when there is none in sight. */
export async function activeRuleSet(tx: Tx, clinicId: string): Promise<StoredRuleSet | undefined> {
  const rows = await tx.query<StoredRuleSet>({
    name: 'active-rule-set',
    text: `select id, version, status, body from resources
      where clinic_id = $1 and type = 'Library' and status = 'active' and not deleted
      order by updated_at desc limit 1`,
    values: [clinicId],
  })
  return rows[0]
}

/** The one that was in force at an instant, ISO in UTC. */
export async function activeRuleSetAt(
  tx: Tx,
  clinicId: string,
  knownAt: string,
): Promise<StoredRuleSet | undefined> {
  const rows = await tx.query<StoredRuleSet>({
    name: 'active-rule-set-at',
    text: `select v.id, v.version, 'active' as status, v.body
      from resources r
      join lateral (select * from resource_versions v
        where v.clinic_id = r.clinic_id and v.type = r.type and v.id = r.id
          and v.updated_at <= $2::timestamptz
        order by v.version desc limit 1) v on true
      where r.clinic_id = $1 and r.type = 'Library' and not v.deleted
        and nullif(v.body, '')::jsonb ->> 'status' = 'active'
      order by v.updated_at desc limit 1`,
    values: [clinicId, knownAt],
  })
  return rows[0]
}

export interface RuleSetNaming {
  /** Of the identifiers that name rule sets. */
  readonly system: string
  /** Any when not given. */
  readonly id?: string | undefined
  readonly version: string
}

/** The rule sets of a clinic that are called so. */
export async function namedRuleSets(
  tx: Tx,
  clinicId: string,
  { system, id, version }: RuleSetNaming,
): Promise<StoredRuleSet[]> {
  return tx.query<StoredRuleSet>({
    name: 'named-rule-sets',
    text: `select r.id, r.version, r.status, r.body from index_tokens t
      join resources r on r.clinic_id = t.clinic_id and r.type = t.type and r.id = t.id
      where t.clinic_id = $1 and t.type = 'Library' and t.path = 'version' and t.code = $2
        and not r.deleted and exists (select 1 from index_tokens i
          where i.clinic_id = t.clinic_id and i.type = t.type and i.id = t.id
            and i.path = 'identifier' and i.system = $3 and i.code = coalesce($4, i.code))
      order by r.id`,
    values: [clinicId, version, system, id ?? null],
  })
}
