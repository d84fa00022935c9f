import { randomUUID } from 'node:crypto'
import { Pool, type PoolClient } from 'pg'
import { bundleOf, referralParts } from '../helpers/referral.ts'
import { contest, type Result } from './rounds.ts'

const TWELVE = [
  'patient',
  'guardian',
  'referral',
  'task',
  'condition',
  'walking-alone',
  'standing-alone',
  'muscle-tone',
  'foot-posture-index.left',
  'foot-posture-index.right',
  'foot-length.left',
  'foot-length.right',
]

/** A referral of twelve entries of a child that was never sent before. */
function twelveEntries(): string {
  const parts = [...referralParts({ key: randomUUID() })].flatMap(([name, part]) => {
    if (!TWELVE.includes(name)) return []
    const { requester, insurance, supportingInfo, ...resource } = part.resource
    return [[name, { ...part, resource }] as const]
  })
  return JSON.stringify(bundleOf(new Map(parts)))
}

const TABLES = [
  'resource_versions',
  'resources',
  'index_tokens',
  'index_references',
  'index_strings',
  'index_uris',
  'index_dates',
  'index_quantities',
  'index_pairs',
] as const

/**
 * Intake over HTTP (validation, triage, versions, index, audit) against the same rows written by raw SQL,
 * one multi-row statement a table, in one transaction.
 */
export async function intake(origin: string, token: string, databaseUrl: string): Promise<Result> {
  const send = async () => {
    const response = await fetch(`${origin}/fhir`, {
      method: 'POST',
      headers: { authorization: `Bearer ${token}`, 'content-type': 'application/fhir+json' },
      body: twelveEntries(),
    })
    const text = await response.text()
    if (response.status !== 200) throw new Error(`The referral was not taken: ${text}`)
  }
  const pool = new Pool({ connectionString: databaseUrl, max: 1 })
  const client = await pool.connect()
  try {
    // As autovacuum does within its first minute: without statistics the planner takes any index for as good.
    await client.query('analyze')
    const rows = await rowsOfOne(client, send)
    return await contest({
      name: 'intake of a 12-entry referral ÷ the same rows by raw SQL (rate)',
      work: send,
      limit: () => rawWrite(client, rows),
      times: 15,
    })
  } finally {
    client.release()
    await pool.end()
  }
}

type Rows = ReadonlyMap<string, readonly Readonly<Record<string, unknown>>[]>

/** What one intake wrote. */
async function rowsOfOne(client: PoolClient, send: () => Promise<void>): Promise<Rows> {
  const last = await client.query<{ at: string }>(
    'select coalesce(max(updated_at), to_timestamp(0))::text as at from resources',
  )
  await send()
  const written = await client.query<{ type: string; id: string }>(
    'select type, id from resources where updated_at > $1',
    [last.rows[0]?.at],
  )
  const ids = written.rows.map(({ id }) => id)
  const rows = new Map<string, Readonly<Record<string, unknown>>[]>()
  for (const table of TABLES) {
    const found = await client.query<Record<string, unknown>>(
      `select * from ${table} where id = any($1)`,
      [ids],
    )
    rows.set(table, found.rows)
  }
  const record = await client.query<Record<string, unknown>>(
    'select * from audit_log order by recorded desc limit 1',
  )
  return rows.set('audit_log', record.rows)
}

async function rawWrite(client: PoolClient, rows: Rows): Promise<void> {
  const suffix = randomUUID().slice(0, 8)
  await client.query('begin')
  for (const [table, all] of rows) {
    const [first] = all
    if (first === undefined) continue
    // What the database makes of other columns is not written.
    const names = Object.keys(first).filter((name) => !name.endsWith('_near'))
    const values = all.flatMap((row) =>
      names.map((name) => {
        // A row of the log is the first of a writer of its own.
        if (table === 'audit_log') return ['id', 'writer'].includes(name) ? randomUUID() : row[name]
        return name === 'id' ? `${String(row[name]).slice(0, 36)}${suffix}` : row[name]
      }),
    )
    const places = all.map(
      (_, row) =>
        `(${names.map((_name, column) => `$${row * names.length + column + 1}`).join(', ')})`,
    )
    await client.query(
      `insert into ${table} (${names.map((name) => `"${name}"`).join(', ')}) values ${places.join(', ')}`,
      values,
    )
  }
  await client.query('commit')
}
