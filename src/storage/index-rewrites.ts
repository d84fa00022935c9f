import type { SearchValues } from '../fhir/search-index.ts'
import type { IndexKey, IndexPlace } from './index-states.ts'
import {
  INDEX_TABLES,
  indexArrayCount,
  indexArrays,
  indexDelete,
  indexInsert,
} from './index-tables.ts'
import type { Tx } from './transaction.ts'

/** The next resources of a type, oldest first, those that were deleted left out. */
export async function placesAfter(
  tx: Tx,
  clinicId: string,
  { type, after }: { readonly type: string; readonly after: IndexPlace | undefined },
  limit: number,
): Promise<IndexPlace[]> {
  return tx.query<{ type: string; id: string; createdAt: string }>({
    text: `select type, id,
      to_char(created_at at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"') as "createdAt"
    from resources
    where clinic_id = $1 and type = $2 and not deleted
      and created_at >= $3::timestamptz and (created_at > $3::timestamptz or id > $4)
    order by created_at, id limit $5`,
    values: [clinicId, type, after?.createdAt ?? '-infinity', after?.id ?? '', limit],
  })
}

export interface Rewritten extends IndexKey {
  readonly partnerId: string | undefined
  readonly search: SearchValues
}

/** Writes anew what resources are found by; the resources themselves stay as they are. */
export async function rewriteIndex(
  tx: Tx,
  clinicId: string,
  resources: readonly Rewritten[],
): Promise<void> {
  if (resources.length === 0) return
  const keys = [resources.map(({ type }) => type), resources.map(({ id }) => id)]
  await tx.query({ text: REMOVE, values: [clinicId, ...keys] })
  await tx.query({
    text: WRITE,
    values: [
      clinicId,
      ...keys,
      ...COLUMNS.map((column) => resources.map(({ search }) => column(search) ?? null)),
      ...INDEX_TABLES.flatMap((table) => indexArrays(table, resources)),
    ],
  })
}

const COLUMNS: readonly ((search: SearchValues) => string | undefined)[] = [
  ({ patientId }) => patientId,
  ({ code }) => code?.system,
  ({ code }) => code?.code,
  ({ status }) => status,
  ({ date }) => date?.from,
  ({ date }) => date?.to,
]

const REMOVE = `with ${INDEX_TABLES.map(
  (table) => `${table.table}_rows as (${indexDelete(table)})`,
).join(', ')}
  select 1`

/** Clinic, types and ids. */
const KEY_PARAMETERS = 3

const WRITE = `with ${indexInserts()}
  update resources r set patient_id = new.patient_id, code_system = new.code_system, code = new.code,
    status = new.status, date_start = new.date_start, date_end = new.date_end
  from unnest($2::text[], $3::text[], $4::text[], $5::text[], $6::text[], $7::text[],
    $8::timestamptz[], $9::timestamptz[])
    as new(type, id, patient_id, code_system, code, status, date_start, date_end)
  where r.clinic_id = $1 and r.type = any($2::text[]) and r.id = any($3::text[])
    and r.type = new.type and r.id = new.id`

function indexInserts(): string {
  let parameter = KEY_PARAMETERS + COLUMNS.length + 1
  return INDEX_TABLES.map((table) => {
    const text = `${table.table}_rows as (${indexInsert(table, parameter)})`
    parameter += indexArrayCount(table)
    return text
  }).join(', ')
}
