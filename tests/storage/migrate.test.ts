import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Client } from 'pg'
import { beforeAll, beforeEach, expect, test } from 'vitest'
import { migrate } from '../../src/storage/migrate.ts'
import { emptyDatabase } from '../helpers/database.ts'

const FIRST =
  'create table foot (length_mm integer);\n--> statement-breakpoint\nselect pg_sleep(0.3);'

let root: string
let url: string
let drop: () => Promise<void>

beforeAll(async () => {
  root = await mkdtemp(join(tmpdir(), 'footing-migrations-'))
  return () => rm(root, { recursive: true, force: true })
})

beforeEach(async () => {
  ;({ url, drop } = await emptyDatabase())
  return () => drop()
})

/** A folder as drizzle-kit writes it; the statements in order of their merge, with the time of each. */
async function folderOf(...files: [when: number, text: string][]): Promise<string> {
  const folder = await mkdtemp(join(root, 'm-'))
  await mkdir(join(folder, 'meta'))
  const entries = files.map(([when], idx) => ({ idx, when, tag: `000${idx}_a`, breakpoints: true }))
  for (const [idx, [, text]] of files.entries())
    await writeFile(join(folder, `000${idx}_a.sql`), text)
  const journal = { version: '7', dialect: 'postgresql', entries }
  await writeFile(join(folder, 'meta/_journal.json'), JSON.stringify(journal))
  return folder
}

async function rows(statement: string): Promise<unknown[]> {
  const client = new Client({ connectionString: url })
  await client.connect()
  try {
    const { rows: found }: { rows: unknown[] } = await client.query(statement)
    return found
  } finally {
    await client.end()
  }
}

test('of three instances that start together one migrates and the others wait', async () => {
  const folder = await folderOf([1, FIRST])

  const applied = await Promise.all([
    migrate(url, folder),
    migrate(url, folder),
    migrate(url, folder),
  ])

  expect(applied.sort((a, b) => a - b)).toEqual([0, 0, 1])
  expect(await rows('select id from drizzle.__drizzle_migrations')).toHaveLength(1)
})

test('nothing runs while another connection holds the lock', async () => {
  const folder = await folderOf([1, 'create table foot (length_mm integer)'])
  const holder = new Client({ connectionString: url })
  await holder.connect()
  await holder.query('select pg_advisory_lock(7460221)')

  const migrating = migrate(url, folder)
  const waiting =
    "select 1 from pg_locks where locktype = 'advisory' and not granted and database = (select oid from pg_database where datname = current_database())"
  await expect.poll(() => rows(waiting), { timeout: 10_000 }).toHaveLength(1)
  expect(await rows("select 1 from pg_tables where tablename = 'foot'")).toHaveLength(0)
  await holder.end()

  expect(await migrating).toBe(1)
})

test('a later start applies only what is new', async () => {
  await migrate(url, await folderOf([1, 'create table foot (length_mm integer)']))
  const longer = await folderOf(
    [1, 'create table foot (length_mm integer)'],
    [2, 'insert into foot values (120)'],
  )

  expect(await migrate(url, longer)).toBe(1)
  expect(await migrate(url, longer)).toBe(0)
  expect(await rows('select length_mm from foot')).toEqual([{ length_mm: 120 }])
})

test('an older instance accepts a database that a newer one has migrated', async () => {
  const first: [number, string] = [1, 'create table foot (length_mm integer)']
  await migrate(url, await folderOf(first, [2, 'insert into foot values (120)']))

  expect(await migrate(url, await folderOf(first))).toBe(0)
})

test('a migration that was edited afterwards is refused before anything runs', async () => {
  await migrate(url, await folderOf([1, 'create table foot (length_mm integer)']))
  const edited = await folderOf(
    [1, 'create table foot (length_cm integer)'],
    [2, 'drop table foot'],
  )

  await expect(migrate(url, edited)).rejects.toThrow('Migration number 0 is not the one')
  expect(await rows('select * from foot')).toEqual([])
})

test('a migration slipped in before one that was applied is refused, not skipped in silence', async () => {
  await migrate(url, await folderOf([5, 'create table foot (length_mm integer)']))
  const slipped = await folderOf(
    [5, 'create table foot (length_mm integer)'],
    [4, 'create table hand (length_mm integer)'],
  )

  await expect(migrate(url, slipped)).rejects.toThrow('Migration number 1 is not the one')
})

test('a migration that fails leaves nothing behind and is named without the row that broke it', async () => {
  const folder = await folderOf([
    1,
    "create table foot (owner text);\n--> statement-breakpoint\ninsert into foot values ('Invented');\n--> statement-breakpoint\nalter table foot alter owner type integer using owner::integer;",
  ])

  const failure = await migrate(url, folder).catch((error: unknown) => error)

  expect(String(failure)).toMatch(/A migration failed \(22P02\) at:\nalter table foot/)
  expect(String(failure)).not.toContain('Invented')
  expect(await rows("select 1 from pg_tables where tablename = 'foot'")).toHaveLength(0)
})

test('the migrations of the service apply to an empty database', async () => {
  expect(await migrate(url)).toBeGreaterThan(0)
  expect(await migrate(url)).toBe(0)
})

test('a folder without a journal is an error, not a database without tables', async () => {
  await expect(migrate(url, root)).rejects.toThrow('_journal.json')
})
