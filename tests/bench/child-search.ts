import type { Client } from 'pg'
import { parseQuery } from '#service/fhir/query.ts'
import { rowOf } from '#service/fhir/registry.ts'
import { pageStatement } from '#service/storage/search-page.ts'
import { childId, CODES, SYSTEM } from './observations.ts'

/** A search for the observations of one child, of one code, from a day on. */
export interface ChildSearch {
  /** Below the FHIR base. */
  readonly query: string
  /** The statement that the service makes of it. */
  readonly statement: ReturnType<typeof pageStatement>
  readonly bare: readonly string[]
  readonly now: string
}

const FROM = '2022-01-01'
/** Far from each other in what was written. */
const STEP = 7_919

/** @param place the same place among as many children is the same search */
export function childSearch(
  place: number,
  {
    clinicId,
    children,
    baseUrl,
  }: { readonly clinicId: string; readonly children: number; readonly baseUrl: string },
): ChildSearch {
  const row = rowOf('Observation')
  if (row === undefined) throw new Error('Observation is kept')
  const child = childId((place * STEP) % children)
  const code = `code-${place % CODES}`
  const asked = `patient=Patient/${child}&code=${SYSTEM}|${code}&date=ge${FROM}`
  const now = new Date().toISOString()
  const reading = { handling: 'strict', baseUrl, now } as const
  return {
    query: `Observation?${asked}`,
    statement: pageStatement(
      { clinicId },
      parseQuery(row, [...new URLSearchParams(asked)], reading),
    ),
    bare: [clinicId, child, SYSTEM, code, FROM],
    now,
  }
}

const ENTER = `select set_config('role', 'app_service', true), set_config('app.clinic', $1, true),
  set_config('app.partner', '', true), set_config('app.author', '', true), set_config('app.now', $2, true),
  set_config('app.narrowed', '', true)`

/** The same statement by the driver, in the role and the transaction of the service. */
export const sameByDriver = (
  client: Client,
  clinicId: string,
  { statement: { text, values }, now }: ChildSearch,
): Promise<unknown> =>
  Promise.all([
    client.query('begin read only'),
    client.query({ name: 'enter', text: ENTER, values: [clinicId, now] }),
    client.query({ name: 'same', text, values: [...values] }),
    client.query('commit'),
  ])

const BARE = `select body from resources where clinic_id = $1 and type = 'Observation' and not deleted
  and patient_id = $2 and code_system = $3 and code = $4 and date_start >= $5
  order by created_at desc, id desc limit 51`

/** The least that could answer: no role, no policy, no further codings, no precision of dates. */
export const bareByDriver = (client: Client, { bare }: ChildSearch): Promise<unknown> =>
  client.query({ name: 'bare', text: BARE, values: [...bare] })
