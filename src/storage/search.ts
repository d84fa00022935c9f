import type { Filter, Query } from '../fhir/query.ts'
import type { DateCriterion } from '../fhir/query-values.ts'
import type { Column, SearchParam } from '../fhir/search-params.ts'
import { isoInstant } from './instant.ts'
import type { Tx } from './transaction.ts'
import type { StoredVersion } from './resources.ts'

export interface Page {
  /** Newest first. */
  readonly found: readonly StoredVersion[]
  readonly more: boolean
}

/** One page of a type search; reads one row more than asked to know whether another page follows. */
export async function searchPage(tx: Tx, clinicId: string, query: Query): Promise<Page> {
  const sql = new Statement()
  const conditions = conditionsOf(sql, clinicId, query)
  if (query.cursor !== undefined)
    conditions.push(
      `(r.updated_at, r.id) < (${sql.value(query.cursor.updatedAt)}::timestamptz, ${sql.value(query.cursor.id)})`,
    )
  const rows = await tx.query<StoredVersion>({
    text: `select r.type, r.id, r.version, r.deleted, r.body,
      ${isoInstant('r.updated_at')} as "updatedAt"
    from resources r where ${conditions.join(' and ')}
    order by r.updated_at desc, r.id desc limit ${sql.value(query.count + 1)}`,
    values: sql.values,
  })
  return { found: rows.slice(0, query.count), more: rows.length > query.count }
}

export async function countMatches(tx: Tx, clinicId: string, query: Query): Promise<number> {
  const sql = new Statement()
  const conditions = conditionsOf(sql, clinicId, query)
  const rows = await tx.query<{ count: string }>({
    text: `select count(*) as count from resources r where ${conditions.join(' and ')}`,
    values: sql.values,
  })
  return Number(rows[0]?.count ?? 0)
}

/** Collects values while a statement is written; text of a caller only ever becomes a parameter. */
class Statement {
  readonly values: unknown[] = []

  value(value: unknown): string {
    this.values.push(value)
    return `$${this.values.length}`
  }
}

function conditionsOf(sql: Statement, clinicId: string, query: Query): string[] {
  const scope = `r.clinic_id = ${sql.value(clinicId)} and r.type = ${sql.value(query.type)}`
  return [scope, 'not r.deleted', ...query.filters.map((filter) => conditionOf(sql, filter))]
}

function conditionOf(sql: Statement, filter: Filter): string {
  switch (filter.kind) {
    case 'id':
      return `r.id = any(${sql.value(filter.ids)})`
    case 'token':
      return anyOf(filter.values.map((value) => tokenCondition(sql, filter.param, value)))
    case 'reference':
      return anyOf(filter.values.map((value) => referenceCondition(sql, filter.param, value)))
    case 'date':
      return anyOf(filter.values.map((value) => dateCondition(sql, filter.param, value)))
    case 'string':
      return anyOf(
        filter.prefixes.map((prefix) =>
          inIndex(
            sql,
            'resource_strings',
            filter.param,
            `x.value like ${sql.value(likePrefix(prefix))}`,
          ),
        ),
      )
  }
}

/** Of no alternatives at all, nothing matches. */
const anyOf = (conditions: readonly string[]): string =>
  conditions.length === 0 ? 'false' : `(${conditions.join(' or ')})`

const likePrefix = (prefix: string): string => `${prefix.replaceAll(/[\\%_]/g, '\\$&')}%`

const COLUMN: Readonly<Record<Exclude<Column, 'date'>, string>> = {
  patient: 'r.patient_id',
  code: 'r.code',
  status: 'r.status',
}

function inIndex(sql: Statement, table: string, param: SearchParam, condition: string): string {
  return `exists (select 1 from ${table} x where x.clinic_id = r.clinic_id and x.type = r.type
    and x.id = r.id and x.param = ${sql.value(param.name)} and ${condition})`
}

function tokenCondition(
  sql: Statement,
  param: SearchParam,
  { system, code }: { readonly system?: string; readonly code?: string },
): string {
  const parts = (systemColumn: string, codeColumn: string) =>
    [
      ...(system === undefined ? [] : [`${systemColumn} = ${sql.value(system)}`]),
      ...(code === undefined ? [] : [`${codeColumn} = ${sql.value(code)}`]),
    ].join(' and ')
  // Codes of a required binding have an implied system that the resource does not repeat.
  if (param.column === 'status')
    return code === undefined ? 'false' : `${COLUMN.status} = ${sql.value(code)}`
  const indexed = inIndex(sql, 'resource_tokens', param, parts('x.system', 'x.code'))
  if (param.column !== 'code') return indexed
  // The first coding has a column; further codings of the same element are in the narrow table.
  return `((${parts('r.code_system', COLUMN.code)}) or ${indexed})`
}

function referenceCondition(
  sql: Statement,
  param: SearchParam,
  { type, id }: { readonly type?: string; readonly id: string },
): string {
  if (param.column === 'patient')
    return type === undefined || type === 'Patient'
      ? `${COLUMN.patient} = ${sql.value(id)}`
      : 'false'
  const target = `x.target_id = ${sql.value(id)}`
  return inIndex(
    sql,
    'resource_references',
    param,
    type === undefined ? target : `${target} and x.target_type = ${sql.value(type)}`,
  )
}

/** Range against range (R4 3.1.1.4.5): `eq` means that the search range contains the value's range. */
function dateCondition(
  sql: Statement,
  param: SearchParam | 'last-updated',
  { prefix, from, to }: DateCriterion,
): string {
  const start = param === 'last-updated' ? 'r.updated_at' : 'r.date_start'
  const end = param === 'last-updated' ? "(r.updated_at + interval '1 ms')" : 'r.date_end'
  const low = () => `${sql.value(from)}::timestamptz`
  const high = () => `${sql.value(to)}::timestamptz`
  switch (prefix) {
    case 'eq':
      return `(${start} >= ${low()} and ${end} <= ${high()})`
    case 'ne':
      return `(${start} < ${low()} or ${end} > ${high()})`
    case 'gt':
      return `${end} > ${high()}`
    case 'lt':
      return `${start} < ${low()}`
    case 'ge':
      return `(${end} > ${high()} or (${start} >= ${low()} and ${end} <= ${high()}))`
    case 'le':
      return `(${start} < ${low()} or (${start} >= ${low()} and ${end} <= ${high()}))`
    case 'sa':
      return `${start} >= ${high()}`
    case 'eb':
      return `${end} <= ${low()}`
  }
}

/** The first matches of a condition. */
export const searchMatches = async (
  tx: Tx,
  clinicId: string,
  query: Query,
  limit: number,
): Promise<readonly StoredVersion[]> =>
  (await searchPage(tx, clinicId, { ...query, count: limit })).found
