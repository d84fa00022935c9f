import { Client } from 'pg'
import { beforeAll, expect, test } from 'vitest'
import { testDatabase } from '../helpers/database.ts'

// What the catalogue of the migrated database says of every key: the clinic leads it, so that no key of one
// clinic can meet one of another, and rows can be spread by clinic.

/** Tables whose keys do not begin with the clinic, each with the reason. */
const OF_THE_SERVICE: Readonly<Record<string, string>> = {
  audit_keys: 'signs the checkpoints of every clinic; no row is about one',
  signing_keys: 'signs the tokens of every clinic; no row is about one',
}

let owner: Client

beforeAll(async () => {
  const { url, drop } = await testDatabase()
  owner = new Client({ connectionString: url })
  await owner.connect()
  return async () => {
    await owner.end()
    await drop()
  }
})

interface Key {
  readonly table: string
  readonly name: string
  readonly kind: string
  readonly first: string
}

async function keys(): Promise<Key[]> {
  const found = await owner.query<Key>(
    `select c.relname as table, i.relname as name,
        case when x.indisprimary then 'primary key' else 'unique index' end as kind,
        coalesce(a.attname, 'an expression') as first
      from pg_index x join pg_class c on c.oid = x.indrelid join pg_class i on i.oid = x.indexrelid
        left join pg_attribute a on a.attrelid = c.oid and a.attnum = x.indkey[0]
      where x.indisunique and c.relnamespace = 'public'::regnamespace
    union all
    select c.relname, f.conname, 'foreign key', a.attname
      from pg_constraint f join pg_class c on c.oid = f.conrelid
        join pg_attribute a on a.attrelid = c.oid and a.attnum = f.conkey[1]
      where f.contype = 'f' and c.relnamespace = 'public'::regnamespace`,
  )
  return found.rows
}

async function tables(withClinic: boolean): Promise<string[]> {
  const found = await owner.query<{ name: string }>(
    `select c.relname as name from pg_class c
      where c.relkind in ('r', 'p') and c.relnamespace = 'public'::regnamespace
        and $1 = exists (select 1 from pg_attribute a
          where a.attrelid = c.oid and a.attname = 'clinic_id' and a.attnotnull) order by 1`,
    [withClinic],
  )
  return found.rows.map(({ name }) => name)
}

test('every primary key, unique index and foreign key of a clinic begins with the clinic', async () => {
  const all = await keys()

  expect(all.length).toBeGreaterThan(20)
  expect(
    all.filter(({ table, first }) => first !== 'clinic_id' && !(table in OF_THE_SERVICE)),
  ).toEqual([])
})

test('every table of a clinic has a primary key', async () => {
  const keyed = new Set(
    (await keys()).filter(({ kind }) => kind === 'primary key').map(({ table }) => table),
  )

  expect((await tables(true)).filter((name) => !keyed.has(name))).toEqual([])
})

test('what belongs to no clinic is listed with its reason', async () => {
  expect(await tables(false)).toEqual(Object.keys(OF_THE_SERVICE))
})

test('a key that forgets the clinic is found', async () => {
  await owner.query('begin')
  try {
    await owner.query('create unique index forgetful on resources (type, id)')

    expect((await keys()).filter(({ name }) => name === 'forgetful')).toMatchObject([
      { kind: 'unique index', first: 'type' },
    ])
  } finally {
    await owner.query('rollback')
  }
})
