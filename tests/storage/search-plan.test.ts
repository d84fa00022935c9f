import { randomUUID } from 'node:crypto'
import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { compartmentFilter } from '../../src/fhir/compartment.ts'
import { parseQuery, type Query } from '../../src/fhir/query.ts'
import { rowOf } from '../../src/fhir/registry.ts'
import type { Database, Scope } from '../../src/storage/database.ts'
import { pageStatement } from '../../src/storage/search-page.ts'
import { testDatabase } from '../helpers/database.ts'

// The plan of every kind of search as the service itself would run it: by its role, under row-level
// security, over two clinics of which one is asked. In it one partner has half and one a fiftieth of
// more than 20,000 resources.

const OURS = randomUUID()
const THEIRS = randomUUID()
const PARTNER = randomUUID()
const SMALL = randomUUID()
const PATIENTS = 900
const FEW_PATIENTS = 40
const OTHER_PATIENTS = 900
const PER_PATIENT = 10
/** What the small partner has: Patients and their Observations. */
const COMPARTMENT = FEW_PATIENTS * (1 + PER_PATIENT)
const now = '2026-03-02T09:00:00Z'

let database: Database

beforeAll(async () => {
  const made = await testDatabase()
  database = made.database
  const shares = [
    { clinicId: OURS, partnerId: PARTNER, patients: PATIENTS, mark: '' },
    { clinicId: OURS, partnerId: SMALL, patients: FEW_PATIENTS, mark: 's' },
    { clinicId: OURS, partnerId: randomUUID(), patients: OTHER_PATIENTS, mark: 'x' },
    { clinicId: THEIRS, partnerId: PARTNER, patients: PATIENTS, mark: '' },
  ]
  for (const share of shares) await database.asOwner((tx) => fill(tx, share))
  await database.asOwner((tx) => tx.query({ text: 'analyze' }))
  return made.drop
})

type Tx = Parameters<Parameters<Database['asOwner']>[0]>[0]

/** Patients with a name each, ten observations of every one: code, date, quantity, derived from the first. */
interface Share {
  readonly clinicId: string
  readonly partnerId: string
  readonly patients: number
  /** Of its ids. */
  readonly mark: string
}

async function fill(tx: Tx, { clinicId, partnerId, patients, mark }: Share): Promise<void> {
  const values = [clinicId, partnerId, patients, PER_PATIENT, mark]
  const statements = [
    `insert into resources (clinic_id, type, id, version, partner_id, deleted, body, updated_at, patient_id,
       date_start, date_end, created_at)
     select $1::uuid, 'Patient', $5::text || 'p' || n, 1, $2::uuid, false, '{}', at, $5::text || 'p' || n, at - interval '3 years',
       at - interval '3 years' + interval '1 day', at
     from generate_series(1, $3::int) n, lateral (select '2026-01-01'::timestamptz + n * interval '400 minutes' / $3::int as at) t
     where $4::int > 0`,
    `insert into resources (clinic_id, type, id, version, partner_id, deleted, body, updated_at, patient_id,
       code_system, code, status, date_start, date_end, created_at)
     select $1::uuid, 'Observation', $5::text || 'o' || n || '-' || k, 1, $2::uuid, false, '{}', at, $5::text || 'p' || n, 'http://a.example',
       'c' || (k + n % 20 * 10), case when n % 50 = 0 then 'amended' else 'final' end, at, at + interval '1 day', at
     from generate_series(1, $3::int) n, generate_series(1, $4::int) k,
       lateral (select '2026-01-01'::timestamptz + n * interval '1200 hours' / $3::int + k * interval '1 minute' as at) t`,
    `insert into index_strings (clinic_id, type, id, partner_id, path, ordinal, value, exact)
     select $1::uuid, 'Patient', $5::text || 'p' || n, $2::uuid, 'name.family', 0, 'name' || n, 'Name' || n
     from generate_series(1, $3::int) n where $4::int > 0`,
    `insert into index_strings (clinic_id, type, id, partner_id, path, ordinal, value, exact)
     select $1::uuid, 'Observation', $5::text || 'o' || n || '-' || k, $2::uuid, 'code:text', 0, 'text ' || n || ' ' || k, 'Text'
     from generate_series(1, $3::int) n, generate_series(1, $4::int) k`,
    `insert into index_tokens (clinic_id, type, id, partner_id, path, ordinal, system, code)
     select $1::uuid, 'Observation', $5::text || 'o' || n || '-' || k, $2::uuid, path, ordinal, 'http://a.example', code
     from generate_series(1, $3::int) n, generate_series(1, $4::int) k,
       lateral (values ('category', 1, 'g' || n % 40), ('identifier', 2, $5::text || 'i' || n || '-' || k)) v(path, ordinal, code)`,
    `insert into index_references (clinic_id, type, id, partner_id, path, ordinal, target_type, target_id)
     select $1::uuid, 'Observation', $5::text || 'o' || n || '-' || k, $2::uuid, 'derivedFrom', 0, 'Observation', $5::text || 'o' || n || '-1'
     from generate_series(1, $3::int) n, generate_series(2, $4::int) k`,
    `insert into index_quantities (clinic_id, type, id, partner_id, path, ordinal, low, high, system, code, unit)
     select $1::uuid, 'Observation', $5::text || 'o' || n || '-' || k, $2::uuid, 'valueQuantity', 0, n * 4000 / $3::int + k, n * 4000 / $3::int + k,
       'http://unitsofmeasure.org', 'mm', 'mm'
     from generate_series(1, $3::int) n, generate_series(1, $4::int) k`,
    `insert into index_dates (clinic_id, type, id, partner_id, path, ordinal, "start", "end")
     select $1::uuid, 'Observation', $5::text || 'o' || n || '-' || k, $2::uuid, 'valueDateTime', 0, at, at + interval '1 day'
     from generate_series(1, $3::int) n, generate_series(1, $4::int) k,
       lateral (select '2026-01-01'::timestamptz + n * interval '1200 hours' / $3::int as at) t`,
    `insert into index_uris (clinic_id, type, id, partner_id, path, ordinal, value, version)
     select $1::uuid, 'Observation', $5::text || 'o' || n || '-' || k, $2::uuid, 'meta.profile', 0, 'http://a.example/' || n || '/' || k, '1'
     from generate_series(1, $3::int) n, generate_series(1, $4::int) k`,
    `insert into index_pairs (clinic_id, type, id, partner_id, path, ordinal, system, code, low, high)
     select $1::uuid, 'Observation', $5::text || 'o' || n || '-' || k, $2::uuid, 'component code$valueQuantity', 0, 'http://a.example',
       'c' || n, k, k
     from generate_series(1, $3::int) n, generate_series(1, $4::int) k`,
    // Closed: one child in 21 of this partner, and many of others.
    `insert into closed_records (clinic_id, partner_id, patient_id, since)
     select $1::uuid, case when n % 21 = 0 and n <= $3::int then $2::uuid else gen_random_uuid() end,
       $5::text || 'p' || n, '2026-01-01'
     from generate_series(1, 2000) n where $4::int > 0`,
  ]
  for (const text of statements) await tx.query({ text, values })
}

interface PlanNode {
  readonly 'Node Type': string
  readonly 'Relation Name'?: string | undefined
  readonly 'Index Cond'?: string | undefined
  readonly 'Rows Removed by Filter'?: number | undefined
  readonly 'Actual Rows': number
  readonly 'Actual Loops': number
  readonly Plans?: readonly PlanNode[] | undefined
}
const Node: z.ZodType<PlanNode> = z.lazy(() =>
  z.object({
    'Node Type': z.string(),
    'Relation Name': z.string().optional(),
    'Index Cond': z.string().optional(),
    'Rows Removed by Filter': z.number().optional(),
    'Actual Rows': z.number(),
    'Actual Loops': z.number(),
    Plans: z.array(Node).optional(),
  }),
)
const Explained = z.tuple([z.object({ Plan: Node })])

const nodesOf = (node: PlanNode): PlanNode[] => [node, ...(node.Plans ?? []).flatMap(nodesOf)]

function queryOf(type: string, text: string): Query {
  const row = rowOf(type)
  if (row === undefined) throw new Error(`${type} is not kept`)
  const pairs = [...new URLSearchParams(text)]
  return parseQuery(row, pairs, { handling: 'strict', baseUrl: 'https://a.example/fhir', now })
}

async function planOf(
  query: Query,
  scope: Scope = { clinicId: OURS, partnerId: PARTNER },
): Promise<PlanNode[]> {
  const { text, values } = pageStatement(scope, query)
  const [row] = await database.inClinic(scope, (tx) =>
    tx.query<{ 'QUERY PLAN': unknown }>({
      text: `explain (analyze, format json) ${text}`,
      values,
    }),
  )
  const [{ Plan }] = Explained.parse(row?.['QUERY PLAN'])
  return nodesOf(Plan)
}

/** What a plan reads without an index that leads to it. */
const withoutIndex = (nodes: readonly PlanNode[]): string[] =>
  nodes.flatMap((node) => {
    if (node['Node Type'] === 'Seq Scan') return [`Seq Scan of ${node['Relation Name']}`]
    const isIndexed = /^Index (?:Only )?Scan$|^Bitmap Index Scan$/.test(node['Node Type'])
    return isIndexed && !/clinic_id/.test(node['Index Cond'] ?? '')
      ? [`${node['Node Type']} of ${node['Relation Name']} without the clinic`]
      : []
  })

const removed = (nodes: readonly PlanNode[]): number =>
  Math.max(0, ...nodes.map((node) => (node['Rows Removed by Filter'] ?? 0) * node['Actual Loops']))

/** Rows that were read of tables and indexes. */
const looked = (nodes: readonly PlanNode[]): number =>
  nodes
    .filter((node) => node['Node Type'].endsWith('Scan') && node['Relation Name'] !== undefined)
    .reduce((sum, node) => sum + node['Actual Rows'] * node['Actual Loops'], 0)

/** Rows may be looked at in vain, ten times as many as are found, and a handful on the way to a page. */
const IN_VAIN = 10
const PAGE = 51

const SEARCHES: readonly (readonly [type: string, query: string])[] = [
  ['Observation', ''],
  ['Observation', '_id=o1-1,o2-2'],
  ['Observation', 'patient=p7'],
  ['Observation', 'patient=p7&code=c3&date=ge2026-01-01'],
  ['Observation', 'code=http://a.example|c3&date=ge2026-01-01'],
  ['Observation', 'code=c3'],
  ['Observation', 'code=c3,c4'],
  ['Observation', 'status=amended'],
  ['Observation', 'category=g7'],
  ['Observation', 'category=http://a.example|g7'],
  ['Observation', 'identifier=i7-7'],
  ['Observation', 'category:not=g7'],
  ['Observation', 'code:text=text 77 '],
  ['Observation', 'date=2026-02-01'],
  ['Observation', 'date=eb2026-01-02'],
  ['Observation', 'date=lt2026-01-02'],
  ['Observation', 'date=eb2026-01-04'],
  ['Observation', 'date=gt2026-02-19'],
  ['Observation', 'date=ap2026-03-01'],
  ['Observation', 'value-date=2026-02-01'],
  ['Observation', 'value-date=ge2026-02-19'],
  ['Observation', '_lastUpdated=2026-02-01'],
  ['Observation', 'value-quantity=77'],
  ['Observation', 'value-quantity=gt4000'],
  ['Observation', 'value-quantity=lt15||mm'],
  ['Observation', 'subject=p7'],
  ['Observation', 'derived-from=o7-1'],
  ['Observation', 'derived-from=Observation/o7-1'],
  ['Observation', '_profile=http://a.example/7/7'],
  ['Observation', '_profile:below=http://a.example/7'],
  ['Observation', 'code-value-quantity=c3$gt10'],
  ['Observation', 'component-code-value-quantity=c7$5'],
  ['Observation', 'patient.family=name77'],
  ['Observation', 'derived-from:Observation.identifier=i7-1'],
  ['Observation', '_has:Observation:derived-from:identifier=i7-7'],
  ['Observation', 'date=le2026-01-02'],
  ['Observation', 'value-quantity=77|http://unitsofmeasure.org|mm'],
  ['Observation', 'value-quantity=7.7|http://unitsofmeasure.org|cm'],
  ['Observation', 'category:missing=false'],
  ['Observation', 'derived-from:missing=true'],
  ['Observation', 'status=amended,cancelled'],
  ['Observation', 'code:not=c3'],
  ['Observation', 'code=C3'],
  ['Observation', '_sort=status'],
  ['Observation', '_sort=-status'],
  ['Observation', '_sort=-_lastUpdated'],
  ['Observation', '_sort=-date'],
  ['Observation', '_sort=date,_id'],
  ['Observation', 'code=c3&_sort=-date'],
  ['Observation', 'patient=p7&_sort=-date,category'],
  ['Patient', 'family=name77'],
  ['Patient', 'family:exact=Name77'],
  ['Patient', ''],
  ['Patient', 'birthdate=2023-01-01'],
  ['Patient', 'birthdate=lt2022-12-01'],
  ['Patient', 'birthdate=ge2023-01-01'],
  ['Patient', '_has:Observation:patient:identifier=i7-7'],
  ['Patient', '_has:Observation:patient:code=c33'],
]

test.each(SEARCHES)('%s?%s is found by an index', async (type, text) => {
  const nodes = await planOf(queryOf(type, text))
  const [top] = nodes

  expect(withoutIndex(nodes)).toEqual([])
  expect(removed(nodes)).toBeLessThanOrEqual(IN_VAIN * (top?.['Actual Rows'] ?? 0) + PAGE)
})

/** What no value leads to: that there is none, and the middle of a text. */
const LOOKED_THROUGH: typeof SEARCHES = [
  ['Observation', 'category:missing=true'],
  ['Observation', 'identifier:missing=true'],
  ['Patient', 'family:contains=ame77'],
]

test.each(LOOKED_THROUGH)('%s?%s looks at what the partner has, once', async (type, text) => {
  const nodes = await planOf(queryOf(type, text))

  expect(withoutIndex(nodes)).toEqual([])
  expect(removed(nodes)).toBeLessThanOrEqual(PATIENTS * PER_PATIENT)
})

test.each([...SEARCHES, ...LOOKED_THROUGH])(
  '%s?%s of a partner that has little looks at no more than twice what it has',
  async (type, text) => {
    const nodes = await planOf(queryOf(type, text), { clinicId: OURS, partnerId: SMALL })

    expect(withoutIndex(nodes)).toEqual([])
    expect(removed(nodes)).toBeLessThanOrEqual(2 * COMPARTMENT)
  },
)

/** Asked by staff, of all of the clinic: what many are found by, and whether nearly all, a few or none have a value. */
const OF_STAFF: readonly (readonly [query: string, matches: number])[] = [
  ['', PAGE],
  ['code=c3', PAGE],
  ['code=http://a.example|c3,http://a.example|c4', PAGE],
  ['category=g7', PAGE],
  ['category=g7,g8,g9,g10', PAGE],
  ['date=lt2026-02-01', PAGE],
  ['date=ge2026-01-02', PAGE],
  ['value-date=ge2026-01-02', PAGE],
  ['value-quantity=gt10', PAGE],
  ['category:missing=false', PAGE],
  ['value-date:missing=false', PAGE],
  ['method:missing=false', 0],
  ['combo-value-concept:missing=false', 0],
  ['status:missing=true', 0],
  ['date:missing=true', 0],
  ['patient:missing=true', 0],
]

/** To see whether there are many, some are counted; then as many are looked at as ten pages hold. */
const COUNTED = 1_000

test.each(OF_STAFF)('Observation?%s of staff looks at few rows', async (text, matches) => {
  const nodes = await planOf(queryOf('Observation', text), { clinicId: OURS })
  const run = nodes.filter((node) => node['Actual Loops'] > 0)

  expect(nodes[0]?.['Actual Rows']).toBe(matches)
  expect(removed(run)).toBeLessThanOrEqual(2 * COUNTED)
  expect(looked(run)).toBeLessThanOrEqual(4 * COUNTED)
})

test('a compartment is found by an index', async () => {
  const row = rowOf('Observation')
  const filter = row && compartmentFilter(row, 'p7')
  if (filter === undefined) throw new Error('Observation is in the compartment')
  const query = queryOf('Observation', '')
  const nodes = await planOf({
    ...query,
    searches: [{ type: 'Observation', filters: [filter] }],
  })

  expect(nodes[0]?.['Actual Rows']).toBe(PER_PATIENT)
  expect(withoutIndex(nodes)).toEqual([])
})

test('a later page is found as the first is', async () => {
  const { text, values } = pageStatement({ clinicId: OURS }, queryOf('Observation', '_count=5'), {
    until: '2026-12-01T00:00:00Z',
    keys: ['2026-02-01 00:00:00+00'],
    type: 'Observation',
    id: 'o1',
  })
  const [row] = await database.inClinic({ clinicId: OURS }, (tx) =>
    tx.query<{ 'QUERY PLAN': unknown }>({ text: `explain (analyze, format json) ${text}`, values }),
  )
  const [{ Plan }] = Explained.parse(row?.['QUERY PLAN'])
  const nodes = nodesOf(Plan)

  expect(nodes.map((node) => node['Index Cond']).join()).toMatch(/ROW\(created_at, id/)
  expect(removed(nodes)).toBeLessThanOrEqual(PAGE)
})

test('a search without an index is seen', () => {
  const scan = {
    'Node Type': 'Seq Scan',
    'Relation Name': 'x',
    'Actual Rows': 0,
    'Actual Loops': 1,
  }

  expect(withoutIndex([scan])).toEqual(['Seq Scan of x'])
  expect(withoutIndex([{ ...scan, 'Node Type': 'Index Scan', 'Index Cond': '(a = 1)' }])).toEqual([
    'Index Scan of x without the clinic',
  ])
})
