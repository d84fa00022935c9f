import { sql } from 'drizzle-orm'
import { beforeAll, expect, test } from 'vitest'
import { type Database, openDatabase, type Scope } from '../../src/storage/database.ts'
import type { Tx } from '../../src/storage/transaction.ts'
import {
  CLINIC,
  contents,
  databaseWithBox,
  PARTNER,
  raise,
  SETTINGS,
  setContent,
  type Settings,
  settings,
  STATEMENT_TIMEOUT_MS,
} from '../helpers/box.ts'

let url: string
let single: Database

beforeAll(async () => {
  const made = await databaseWithBox()
  ;({ url, single } = made)
  return made.end
})

test('inClinic works as app_service, with clinic and partner, and neither outlives it', async () => {
  const scope = { clinicId: CLINIC, partnerId: PARTNER }

  const [inside] = await single.inClinic(scope, settings)
  const [clinicOnly] = await single.inClinic({ clinicId: CLINIC }, settings)
  const [outside] = await single.asOwner(settings)

  expect(inside).toMatchObject({ role: 'app_service', clinic: CLINIC, partner: PARTNER })
  expect(clinicOnly).toMatchObject({ role: 'app_service', clinic: CLINIC, partner: '' })
  expect(outside).toMatchObject({ clinic: '', partner: '', connection: inside?.connection })
  expect(outside?.role).not.toBe('app_service')
})

test('the query builder works in the same transaction as prepared statements', async () => {
  const [prepared, built] = await single.inClinic({ clinicId: CLINIC }, async (tx) => [
    await tx.query({ name: 'test-xid', text: 'select pg_current_xact_id()::text as id' }),
    (await tx.drizzle.execute(sql`select pg_current_xact_id()::text as id`)).rows,
  ])

  expect(prepared).toEqual(built)
})

test('readInClinic answers the rows of one statement in the scope', async () => {
  const [inside] = await single.readInClinic<Settings>(
    { clinicId: CLINIC, partnerId: PARTNER },
    SETTINGS,
  )
  const [outside] = await single.asOwner(settings)

  expect(inside).toMatchObject({ role: 'app_service', clinic: CLINIC, partner: PARTNER })
  expect(outside).toMatchObject({ clinic: '', partner: '' })
})

test('readInClinic sees each scope, whichever the one before saw on the same connection', async () => {
  const scopes = [
    { clinicId: CLINIC, partnerId: PARTNER },
    { clinicId: CLINIC },
    { clinicId: CLINIC },
    { clinicId: PARTNER },
  ]
  const read = (scope: Scope) => single.readInClinic<Settings>(scope, SETTINGS)
  const seen: (Settings | undefined)[] = []
  for (const scope of scopes) seen.push((await read(scope))[0])
  await expect(
    single.readInClinic({ clinicId: CLINIC, partnerId: PARTNER }, { text: 'select 1 / 0' }),
  ).rejects.toMatchObject({ code: '22012' })
  for (const scope of scopes.toReversed()) seen.push((await read(scope))[0])

  expect(seen).toMatchObject(
    [...scopes, ...scopes.toReversed()].map(({ clinicId, partnerId = '' }: Scope) => ({
      role: 'app_service',
      clinic: clinicId,
      partner: partnerId,
    })),
  )
  expect(new Set(seen.map((row) => row?.connection)).size).toBe(1)
})

test('readInClinic changes nothing: 25006, and the connection is as good as before', async () => {
  const change = { name: 'test-delete', text: 'delete from box' }

  await expect(single.readInClinic({ clinicId: CLINIC }, change)).rejects.toMatchObject({
    code: '25006',
  })
  expect(await single.asOwner(contents)).toHaveLength(2)
})

test('what is thrown is what the caller gets, and nothing was changed', async () => {
  const reason = new RangeError('no such size')
  const work = async (tx: Tx) => {
    await setContent(tx, 1, 'changed')
    throw reason
  }

  await expect(single.inClinic({ clinicId: CLINIC }, work)).rejects.toBe(reason)
  expect(await single.asOwner(contents)).toContainEqual({ content: 'a' })
})

test('a failed statement that the work swallowed does not count as committed: 25P02', async () => {
  const work = async (tx: Tx) => {
    await setContent(tx, 1, 'changed')
    await raise(tx, '22000').catch(() => {})
  }

  await expect(single.inClinic({ clinicId: CLINIC }, work)).rejects.toMatchObject({ code: '25P02' })
  expect(await single.asOwner(contents)).toContainEqual({ content: 'a' })
})

test('when the scope cannot be entered, nothing of the work takes effect', async () => {
  const outcomes: unknown[] = []
  const work = async (tx: Tx) => {
    const change = setContent(tx, 1, 'changed')
    outcomes.push(
      await change.then(
        () => 'answered',
        () => 'refused',
      ),
    )
  }

  // PostgreSQL has no text with a NUL (22021).
  await expect(single.inClinic({ clinicId: 'a\0b' }, work)).rejects.toMatchObject({
    code: '22021',
  })
  expect(outcomes).toEqual(['refused'])
  expect(await single.asOwner(contents)).toContainEqual({ content: 'a' })
})

test('a query made after its unit of work is refused, whoever holds the connection then', async () => {
  const escaped = await single.inClinic({ clinicId: CLINIC }, async (tx) => ({ tx }))

  await expect(settings(escaped.tx)).rejects.toThrow('after its unit of work had ended')
  await expect(escaped.tx.drizzle.execute(sql`select 1`)).rejects.toMatchObject({
    cause: { message: 'A query was made after its unit of work had ended' },
  })
})

test('a statement outside every transaction cannot change anything', async () => {
  const mode = {
    name: 'test-mode',
    text: "select current_setting('default_transaction_read_only') as mode",
  }

  expect(await single.asOwner((tx) => tx.query(mode))).toEqual([{ mode: 'on' }])
})

test('a date stays text, an instant is ISO text in UTC with all its digits, int8 stays text', async () => {
  const text = `select date '2024-02-29' as date, 9007199254740993::int8 as whole,
    timestamptz '2026-03-01 08:30:00.123456+01' as instant, timestamptz '2026-03-01 00:00+00' as midnight`
  const expected = {
    date: '2024-02-29',
    whole: '9007199254740993',
    instant: '2026-03-01T07:30:00.123456Z',
    midnight: '2026-03-01T00:00:00Z',
  }

  const [prepared] = await single.asOwner((tx) => tx.query({ name: 'test-types', text }))
  const built = await single.asOwner((tx) => tx.drizzle.execute(sql.raw(text)))

  expect(prepared).toEqual(expected)
  expect(built.rows).toEqual([expected])
})

test('options in the URL are kept beside ours', async () => {
  const target = new URL(url)
  target.searchParams.set('options', '-c work_mem=5MB')
  const own = openDatabase({
    url: target.href,
    poolSize: 1,
    statementTimeoutMs: STATEMENT_TIMEOUT_MS,
  })
  const text = "select current_setting('timezone') as zone, current_setting('work_mem') as mem"

  expect(await own.asOwner((tx) => tx.query({ name: 'test-zone', text }))).toEqual([
    { zone: 'UTC', mem: '5MB' },
  ])
  await own.close()
})
