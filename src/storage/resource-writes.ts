import type { SearchValues } from '../fhir/search-index.ts'
import {
  INDEX_TABLES,
  indexArrayCount,
  indexArrays,
  indexDelete,
  indexInsert,
} from './index-tables.ts'
import { NOTE_WRITTEN } from './subscription-events.ts'
import type { Tx } from './transaction.ts'
import type { StoredVersion } from './resources.ts'

export interface NewVersion extends StoredVersion {
  /** What the resource is found by. */
  readonly search: SearchValues
  /** The child to whose record it belongs by what it refers to. */
  readonly recordOf?: string | undefined
}

/** Another transaction changed one of the resources in between. */
export class LostRace extends Error {}

/**
 * Writes versions, the current rows and the index in one statement, however many there are; in another one
 * what replaces a row a second time.
 *
 * Of several versions of one resource the last given becomes the current one. Index rows of resources
 * that already existed are removed first.
 */
export async function insertVersions(
  tx: Tx,
  clinicId: string,
  versions: readonly NewVersion[],
): Promise<void> {
  if (versions.length === 0) return
  const again = furtherVersions(versions)
  await insertRound(
    tx,
    clinicId,
    versions.filter((one) => !again.has(one)),
  )
  if (again.size > 0) await insertVersions(tx, clinicId, [...again])
}

/** A row that exists already is replaced once in a statement: what comes after that waits for the next. */
function furtherVersions(versions: readonly NewVersion[]): ReadonlySet<NewVersion> {
  const key = ({ type, id }: NewVersion) => `${type}/${id}`
  const begun = new Set(versions.filter(({ version }) => version === 1).map(key))
  const seen = new Set<string>()
  return new Set(
    versions.filter((one) => {
      const isAgain = seen.has(key(one)) && !begun.has(key(one))
      seen.add(key(one))
      return isAgain
    }),
  )
}

async function insertRound(
  tx: Tx,
  clinicId: string,
  versions: readonly NewVersion[],
): Promise<void> {
  const current = [...new Map(versions.map((v) => [`${v.type}/${v.id}`, v])).values()]
  const firstVersions = new Set(
    versions.filter((v) => v.version === 1).map((v) => `${v.type}/${v.id}`),
  )
  const replaced = current.filter((v) => !firstVersions.has(`${v.type}/${v.id}`))
  if (replaced.length > 0) await removeIndexRows(tx, clinicId, replaced)

  const rows = await tx.query<{ written: string }>({
    name: 'insert-versions',
    text: INSERT,
    values: [
      clinicId,
      ...columns(versions, versionColumns),
      joinedBodies(versions),
      ...columns(current, versionColumns),
      current.map((v) => versions.indexOf(v)),
      ...columns(current, typedColumns),
      versions.map((v) => v.search.patientId ?? v.recordOf ?? null),
      current.map((v) => v.recordOf ?? null),
      ...INDEX_TABLES.flatMap((table) => indexArrays(table, current)),
    ],
  })
  if (Number(rows[0]?.written) !== current.length) throw new LostRace()
}

const versionColumns = ['type', 'id', 'version', 'partnerId', 'deleted', 'updatedAt'] as const

const typedColumns = [
  (v: NewVersion) => v.search.patientId,
  (v: NewVersion) => v.search.code?.system,
  (v: NewVersion) => v.search.code?.code,
  (v: NewVersion) => v.search.status,
  (v: NewVersion) => v.search.date?.from,
  (v: NewVersion) => v.search.date?.to,
] as const

/** One array per column, as `unnest` takes them. */
function columns<T>(
  rows: readonly T[],
  names: readonly (keyof T | ((row: T) => unknown))[],
): unknown[][] {
  return names.map((name) =>
    rows.map((row) => (typeof name === 'function' ? name(row) : row[name]) ?? null),
  )
}

/** A character that no JSON text has: in one text bodies travel as they are, in an array each quote is escaped. */
const SEPARATOR = '\u001e'

/** Each body with a separator before it, so that one that is empty counts too. */
const joinedBodies = (versions: readonly NewVersion[]): string =>
  versions.map(({ body }) => `${SEPARATOR}${body}`).join('')

/** The parameters before those of the index tables. */
const RESOURCE_PARAMETERS = 23

const INSERT = `
with sent as materialized (
  select (string_to_array($8::text, chr(30)))[2:] as bodies
), version as (
  insert into resource_versions
    (clinic_id, type, id, version, partner_id, deleted, body, updated_at, patient_id)
  select $1::uuid, new.type, new.id, new.version, new.partner_id, new.deleted, new.body, new.updated_at,
    coalesce(new.patient_id, (select r.record_of from resources r
      where r.clinic_id = $1::uuid and r.type = new.type and r.id = new.id))
  from unnest($2::text[], $3::text[], $4::int[], $5::uuid[], $6::bool[], $7::timestamptz[],
    (select bodies from sent), $22::text[])
    as new(type, id, version, partner_id, deleted, updated_at, body, patient_id)
), written as (
  insert into resources as r (clinic_id, type, id, version, partner_id, deleted, updated_at, body,
    patient_id, code_system, code, status, date_start, date_end, record_of, created_at)
  select $1::uuid, new.type, new.id, new.version, new.partner_id, new.deleted, new.updated_at,
    sent.bodies[new.place + 1], new.patient_id, new.code_system, new.code, new.status, new.date_start,
    new.date_end, new.record_of, new.updated_at
  from sent, unnest($9::text[], $10::text[], $11::int[], $12::uuid[], $13::bool[], $14::timestamptz[],
    $15::int[], $16::text[], $17::text[], $18::text[], $19::text[], $20::timestamptz[], $21::timestamptz[],
    $23::text[])
    as new(type, id, version, partner_id, deleted, updated_at, place, patient_id, code_system, code, status,
      date_start, date_end, record_of)
  on conflict (clinic_id, type, id) do update set version = excluded.version,
    deleted = excluded.deleted, body = excluded.body, updated_at = excluded.updated_at,
    patient_id = excluded.patient_id, code_system = excluded.code_system, code = excluded.code,
    status = excluded.status, date_start = excluded.date_start, date_end = excluded.date_end,
    record_of = coalesce(excluded.record_of, r.record_of)
  where r.version = excluded.version - 1
  returning 1
), noted as (${NOTE_WRITTEN})${indexInserts()}
select count(*) as written from written`

/** One common table expression for each index table. */
function indexInserts(): string {
  let parameter = RESOURCE_PARAMETERS + 1
  return INDEX_TABLES.map((table) => {
    const text = `, ${table.table}_rows as (${indexInsert(table, parameter)})`
    parameter += indexArrayCount(table)
    return text
  }).join('')
}

async function removeIndexRows(
  tx: Tx,
  clinicId: string,
  keys: readonly { readonly type: string; readonly id: string }[],
): Promise<void> {
  await tx.query({
    name: 'remove-index-rows',
    text: REMOVE,
    values: [clinicId, keys.map((key) => key.type), keys.map((key) => key.id)],
  })
}

const REMOVE = `with ${INDEX_TABLES.map((table) => `${table.table}_rows as (${indexDelete(table)})`).join(', ')}
  select 1`
