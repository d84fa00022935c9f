import type { SearchValues } from '../fhir/search-index.ts'
import type { IndexKey } from './index-states.ts'
import {
  INDEX_TABLES,
  indexArrayCount,
  indexArrays,
  indexDelete,
  indexInsert,
} from './index-tables.ts'
import type { Tx } from './transaction.ts'

/** The next resources in the order of their keys, those that were deleted left out. */
export async function keysAfter(
  tx: Tx,
  clinicId: string,
  after: IndexKey | undefined,
  limit: number,
): Promise<IndexKey[]> {
  return tx.query<{ type: string; id: string }>({
    text: `select type, id from resources
      where clinic_id = $1 and (type, id) > ($2, $3) and not deleted
      order by type, id limit $4`,
    values: [clinicId, after?.type ?? '', after?.id ?? '', limit],
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
  where r.clinic_id = $1 and r.type = new.type and r.id = new.id`

function indexInserts(): string {
  let parameter = KEY_PARAMETERS + COLUMNS.length + 1
  return INDEX_TABLES.map((table) => {
    const text = `${table.table}_rows as (${indexInsert(table, parameter)})`
    parameter += indexArrayCount(table)
    return text
  }).join(', ')
}
