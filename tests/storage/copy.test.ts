import { randomUUID } from 'node:crypto'
import { once } from 'node:events'
import type { Readable } from 'node:stream'
import { setTimeout as delay } from 'node:timers/promises'
import { Client } from 'pg'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type Copies, openCopies } from '../../src/storage/copy.ts'
import { DatabaseFailure } from '../../src/storage/database-failure.ts'
import { type TestDatabase, testDatabase } from '../helpers/database.ts'

let database: TestDatabase
let owner: Client

beforeAll(async () => {
  database = await testDatabase()
  owner = new Client({ connectionString: database.url })
  await owner.connect()
})
afterAll(async () => {
  await owner.end()
  await database.drop()
})

const SCOPE = { clinicId: randomUUID() }
const FEW = 'copy (select n from generate_series(1, 3) n) to stdout'
/** Some 400 MB: far more than lies in the buffers on the way. */
const MUCH = `copy (select repeat('x', 1000) from generate_series(1, 400000)) to stdout`

async function started(copies: Copies, text: string): Promise<Readable> {
  const stream = await copies.copy(SCOPE, { text, settings: {} })
  if (stream === undefined) throw new Error('There was no room for a copy')
  return stream
}
async function whole(stream: Readable): Promise<string> {
  const parts: Buffer[] = []
  for await (const part of stream) parts.push(part as Buffer)
  return Buffer.concat(parts).toString('utf8')
}
/** Waits until no copy goes on at the server; a test that waits in vain runs out of time. */
async function nothingGoesOn(): Promise<void> {
  for (;;) {
    const { rows } = await owner.query(
      `select 1 from pg_stat_activity
      where application_name = 'footing-export' and datname = current_database()`,
    )
    if (rows.length === 0) return
    await delay(20)
  }
}

/** When it is over, also where it is over by now. */
const ended = (stream: Readable): Promise<unknown> =>
  stream.closed ? Promise.resolve() : once(stream, 'close')

test('a copy arrives whole, in a scope and with its settings', async () => {
  const text = `copy (select current_user, current_setting('app.clinic'), current_setting('app.export_x'))
    to stdout (format csv)`

  const stream = await openCopies(database.url).copy(SCOPE, {
    text,
    settings: { 'app.export_x': 'told' },
  })

  expect(stream && (await whole(stream))).toBe(`app_service,${SCOPE.clinicId},told\n`)
})

test('two go on at once; a third finds room when one has ended', async () => {
  const copies = openCopies(database.url)
  const [one, two] = [await started(copies, FEW), await started(copies, FEW)]

  const third = await copies.copy(SCOPE, { text: FEW, settings: {} })
  await whole(one)
  const fourth = await started(copies, FEW)

  expect(third).toBeUndefined()
  expect(await whole(fourth)).toBe('1\n2\n3\n')
  await whole(two)
})

test('one that is destroyed ends at the server and makes room, read or not', async () => {
  const copies = openCopies(database.url)
  const [one, two] = [await started(copies, MUCH), await started(copies, MUCH)]
  one.resume()
  await once(one, 'data')

  one.destroy()
  two.destroy()
  await nothingGoesOn()

  expect(await whole(await started(copies, FEW))).toBe('1\n2\n3\n')
})

test('one that nobody reads, or goes on reading, is ended', async () => {
  const copies = openCopies(database.url, { stallMs: 50 })
  const unread = await started(copies, MUCH)
  const unreadEnd = ended(unread)
  const left = await started(copies, MUCH)
  const leftEnd = ended(left)
  left.once('data', () => left.pause())

  await Promise.all([unreadEnd, leftEnd])
  await nothingGoesOn()

  expect([unread.readableEnded, left.readableEnded]).toEqual([false, false])
  expect(await whole(await started(copies, FEW))).toBe('1\n2\n3\n')
})

test('one that fails on the way says so by the code alone, and makes room', async () => {
  const copies = openCopies(database.url)
  const text = `copy (select 1 / (2 - n), repeat('a child', 1000) from generate_series(1, 3) n) to stdout`

  for (const _ of [1, 2, 3]) {
    const failure = await whole(await started(copies, text)).catch((error: unknown) => error)
    // division_by_zero
    expect(failure).toBeInstanceOf(DatabaseFailure)
    expect(failure).toMatchObject({ code: '22012', message: 'Database failure 22012' })
  }
  await nothingGoesOn()
})

test('it is made no faster than it is read', async () => {
  const stream = await started(openCopies(database.url), MUCH)
  let before = -1
  await once(stream, 'readable')
  while (stream.readableLength !== before) {
    before = stream.readableLength
    await delay(20)
  }

  // Of 400 MB what one buffer and one chunk hold.
  expect(stream.readableLength).toBeLessThan(4_194_304)
  stream.destroy()
  await nothingGoesOn()
})

test('where no connection is to be had it fails, each time anew', async () => {
  const nowhere = new URL(database.url)
  nowhere.pathname = '/no_such_database'
  const copies = openCopies(nowhere.href)

  for (const _ of [1, 2, 3])
    await expect(copies.copy(SCOPE, { text: FEW, settings: {} })).rejects.toMatchObject({
      code: '3D000',
    })
})
