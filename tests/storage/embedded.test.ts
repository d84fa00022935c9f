import { existsSync, readFileSync, statSync } from 'node:fs'
import { rm } from 'node:fs/promises'
import { join } from 'node:path'
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest'
import { identityOf } from '../../src/storage/embedded-process.ts'
import { readEmbedded } from '../../src/storage/embedded.ts'
import { content, EmbeddedCases, KEPT, query } from '../helpers/embedded.ts'

const cases = new EmbeddedCases()

beforeAll(() => cases.prepare())
beforeEach(() => cases.next())
afterEach(() => cases.clear())
afterAll(() => cases.remove())

test('an empty folder becomes a PostgreSQL 18 with checksums, UTF-8 and durable commits', async () => {
  cases.dataDir = join(cases.root, 'fresh')

  const { url } = await cases.start()

  expect(
    await query(
      url,
      `select current_setting('server_version_num')::int / 10000 as major, current_setting('fsync') as fsync,
        current_setting('data_checksums') as checksums, current_setting('server_encoding') as encoding,
        current_setting('synchronous_commit') as commit, current_setting('full_page_writes') as pages`,
    ),
  ).toEqual([
    { major: 18, fsync: 'on', checksums: 'on', encoding: 'UTF8', commit: 'on', pages: 'on' },
  ])
})

test('data outlive a stop, and a stop ends the server', async () => {
  const { url, stop } = await cases.start()
  const pid = cases.serverPid() ?? 0
  await query(url, "insert into box values ('added')")

  await stop()
  expect(identityOf(pid)).toBeUndefined()

  expect(await content((await cases.start()).url)).toEqual([...KEPT, { content: 'added' }])
})

test('a second stop is harmless', async () => {
  const { stop } = await cases.start()

  await Promise.all([stop(), stop()])

  expect(cases.serverPid()).toBeUndefined()
})

test('the server listens on loopback only and on no socket in the file system', async () => {
  const { url } = await cases.start()
  const elsewhere = new URL(url)
  elsewhere.hostname = '127.0.0.2'

  expect(
    await query(
      url,
      `select current_setting('listen_addresses') as addresses, current_setting('unix_socket_directories') as sockets`,
    ),
  ).toEqual([{ addresses: '127.0.0.1', sockets: '' }])
  await expect(content(elsewhere.href)).rejects.toMatchObject({ code: 'ECONNREFUSED' })
})

test.for(['', 'wrong'])('the password "%s" does not open the database', async (password) => {
  const { url } = await cases.start()
  const guess = new URL(url)
  guess.password = password

  await expect(content(guess.href)).rejects.toThrow(/password/)
})

test('two folders have different passwords, readable by their owner only', async () => {
  const { url } = await cases.start()
  cases.dataDir = join(cases.root, 'other')
  const second = await cases.start()

  expect(new URL(second.url).password).not.toBe(new URL(url).password)
  expect(new URL(url).password).toMatch(/^[0-9a-f]{48}$/)
  expect(statSync(join(cases.dataDir, 'embedded.json')).mode & 0o777).toBe(0o600)
  expect(existsSync(join(cases.dataDir, 'postgres.password'))).toBe(false)
})

test('a command beside the service finds the server while it runs', async () => {
  expect(await readEmbedded(cases.dataDir)).toBeUndefined()
  expect(await readEmbedded(join(cases.root, 'nothing-here'))).toBeUndefined()

  const { url, stop } = await cases.start()
  expect(await readEmbedded(cases.dataDir)).toBe(url)

  await stop()
  expect(await readEmbedded(cases.dataDir)).toBeUndefined()
})

test('the password lost: it is said what is missing', async () => {
  await rm(join(cases.dataDir, 'embedded.json'))

  await expect(cases.start()).rejects.toThrow(/embedded\.json is missing/)
})

test('the log of the server repeats nothing that was sent', async () => {
  const { url } = await cases.start()

  await expect(query(url, "select 'Invented Name'::uuid")).rejects.toMatchObject({ code: '22P02' })
  await expect(query(url, 'select invented_column')).rejects.toMatchObject({ code: '42703' })

  expect(readFileSync(join(cases.dataDir, 'postgres.log'), 'utf8')).not.toMatch(/invented/i)
})

test.runIf(process.platform === 'linux')(
  'Ctrl-C in the terminal does not reach the server: it is in a group of its own',
  async () => {
    await cases.start()
    const pid = cases.serverPid() ?? 0

    const [, group] =
      readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1]?.split(' ').slice(1) ?? []

    expect(Number(group)).toBe(pid)
  },
)
