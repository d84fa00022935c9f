import { isoInstant } from './instant.ts'
import type { ScopedCall } from './database.ts'
import type { Asking } from './transaction.ts'

/** A version as it is kept: the body is the exact JSON that is returned. */
export interface StoredVersion {
  readonly type: string
  readonly id: string
  readonly version: number
  readonly partnerId: string | undefined
  /** The child that it is about; not known of a past version. */
  readonly patientId?: string | undefined
  readonly deleted: boolean
  readonly body: string
  /** ISO instant in UTC. */
  readonly updatedAt: string
}

/** The newest version, also of a deleted resource; undefined when there is none in sight. */
export async function readResource(
  tx: Asking,
  key: { readonly clinicId: string; readonly type: string; readonly id: string },
): Promise<StoredVersion | undefined> {
  return fromFirst(
    await tx.query<StoredRow>({
      name: 'read-resource',
      text: `${SELECT} from resources ${KEY}`,
      values: [key.clinicId, key.type, key.id],
    }),
  )
}

/** The same in a transaction of its own; its rows are read by `fromFirst`. */
export const resourceCall = (type: string, id: string): ScopedCall => ({
  name: 'read_resource',
  values: [type, id],
})

export const fromFirst = ([first]: readonly StoredRow[]): StoredVersion | undefined =>
  first === undefined ? undefined : fromRow(first)

export async function readVersion(
  tx: Asking,
  key: {
    readonly clinicId: string
    readonly type: string
    readonly id: string
    readonly version: number
  },
): Promise<StoredVersion | undefined> {
  const rows = await tx.query<StoredRow>({
    name: 'read-version',
    text: `select ${VERSION_COLUMNS} from resource_versions ${KEY} and version = $4`,
    values: [key.clinicId, key.type, key.id, key.version],
  })
  return rows[0] === undefined ? undefined : fromRow(rows[0])
}

/** The given versions that are in sight, in any order. */
export async function readVersions(
  tx: Asking,
  clinicId: string,
  keys: readonly { readonly type: string; readonly id: string; readonly version: number }[],
): Promise<StoredVersion[]> {
  if (keys.length === 0) return []
  const rows = await tx.query<StoredRow>({
    name: 'read-versions',
    text: `select ${VERSION_COLUMNS} from resource_versions
      where clinic_id = $1 and type = any($2::text[]) and id = any($3::text[])
        and (type, id, version) in (select * from unnest($2::text[], $3::text[], $4::int[]))`,
    values: [
      clinicId,
      keys.map((key) => key.type),
      keys.map((key) => key.id),
      keys.map((key) => key.version),
    ],
  })
  return rows.map(fromRow)
}

/** Which of the given resources exist in sight and are not deleted, as `Type/id`, with the current version. */
export async function existingVersions(
  tx: Asking,
  clinicId: string,
  keys: readonly { readonly type: string; readonly id: string }[],
): Promise<ReadonlyMap<string, number>> {
  if (keys.length === 0) return new Map()
  const rows = await tx.query<{ key: string; version: number }>({
    name: 'existing-resources',
    text: `select type || '/' || id as key, version from resources
      where clinic_id = $1 and not deleted
        and type = any($2::text[]) and id = any($3::text[])
        and (type, id) in (select * from unnest($2::text[], $3::text[]))`,
    values: [clinicId, keys.map((key) => key.type), keys.map((key) => key.id)],
  })
  return new Map(rows.map(({ key, version }) => [key, version]))
}

/** Which of the given resources in sight the clinic wrote itself, as `Type/id`. */
export async function writtenByClinic(
  tx: Asking,
  clinicId: string,
  keys: readonly { readonly type: string; readonly id: string }[],
): Promise<ReadonlySet<string>> {
  const rows = await tx.query<{ key: string }>({
    name: 'written-by-clinic',
    text: `select type || '/' || id as key from resources
      where clinic_id = $1 and by_clinic and type = any($2::text[]) and id = any($3::text[])
        and (type, id) in (select * from unnest($2::text[], $3::text[]))`,
    values: [clinicId, keys.map((key) => key.type), keys.map((key) => key.id)],
  })
  return new Set(rows.map((row) => row.key))
}

/** The given resources that are in sight, in the order of the keys. */
export async function readResources(
  tx: Asking,
  clinicId: string,
  keys: readonly { readonly type: string; readonly id: string }[],
): Promise<StoredVersion[]> {
  const rows = await tx.query<StoredRow>({
    name: 'read-resources',
    // The two lists alone lead to the index whatever the statistics of the table say.
    text: `with found as materialized (${SELECT} from resources
        where clinic_id = $1 and type = any($2::text[]) and id = any($3::text[]))
      select found.* from unnest($2::text[], $3::text[]) with ordinality as key(type, id, place)
        join found using (type, id)
      order by key.place`,
    values: [clinicId, keys.map((key) => key.type), keys.map((key) => key.id)],
  })
  return rows.map(fromRow)
}

/** A version of a record with the instant at which its resource first came in. */
export interface RecordVersion extends StoredVersion {
  /** ISO instant in UTC. */
  readonly createdAt: string
}

/** The child's record: the Patient and everything about it, oldest first; of one partner when given. */
export async function readRecord(
  tx: Asking,
  clinicId: string,
  patientId: string,
): Promise<RecordVersion[]> {
  const rows = await tx.query<StoredRow & { readonly createdAt: string }>({
    name: 'read-record',
    text: `${SELECT}, ${isoInstant('created_at')} as "createdAt" from resources
      where clinic_id = $1 and patient_id = $2 and not deleted
      order by updated_at, type, id`,
    values: [clinicId, patientId],
  })
  return rows.map((row) => ({ ...fromRow(row), createdAt: row.createdAt }))
}

/** What is in sight of some types about a child, oldest first. */
export async function readOfChild(
  tx: Asking,
  clinicId: string,
  patientId: string,
  types: readonly string[],
): Promise<StoredVersion[]> {
  const rows = await tx.query<StoredRow>({
    name: 'read-of-child',
    text: `${SELECT} from resources
      where clinic_id = $1 and patient_id = $2 and type = any($3::text[]) and not deleted
      order by updated_at, type, id`,
    values: [clinicId, patientId, types],
  })
  return rows.map(fromRow)
}

export type StoredRow = Omit<StoredVersion, 'partnerId' | 'patientId'> & {
  readonly partnerId: string | null
  readonly patientId?: string | null
}

export const fromRow = ({ partnerId, patientId, ...row }: StoredRow): StoredVersion => ({
  ...row,
  partnerId: partnerId ?? undefined,
  ...(typeof patientId === 'string' ? { patientId } : {}),
})

/** What a stored version is read from. */
export const VERSION_COLUMNS = `type, id, version, partner_id as "partnerId", deleted, body,
  ${isoInstant('updated_at')} as "updatedAt"`
const SELECT = `select ${VERSION_COLUMNS}, patient_id as "patientId"`
const KEY = 'where clinic_id = $1 and type = $2 and id = $3'
