import { once } from 'node:events'
import { mkdirSync, readFileSync } from 'node:fs'
import { writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest'
import { identityOf, isRunning } from '../../src/storage/embedded-process.ts'
import { readEmbedded } from '../../src/storage/embedded.ts'
import { content, EmbeddedCases, KEPT, killAndWait, query } from '../helpers/embedded.ts'

const cases = new EmbeddedCases()

beforeAll(() => cases.prepare())
beforeEach(() => cases.next())
afterEach(() => cases.clear())
afterAll(() => cases.remove())

test('a server that was killed is not found', async () => {
  await cases.start()
  const pid = cases.serverPid() ?? 0

  process.kill(pid, 'SIGKILL')
  await expect.poll(() => identityOf(pid)).toBeUndefined()

  expect(await readEmbedded(cases.dataDir)).toBeUndefined()
})

test('a second service on the same folder is refused and told who is there', async () => {
  const { child, said } = await cases.startElsewhere()

  await expect(cases.start()).rejects.toThrow(
    `Another Footing service (process ${child.pid}) is already running on ${cases.dataDir}. ` +
      'Stop it, or set DATA_DIR or DATABASE_URL.',
  )
  expect(await content(said.url)).toEqual(KEPT)
})

test('of two services that start together on one folder one runs', async () => {
  const outcomes = await Promise.allSettled([cases.start(), cases.start()])

  const running = outcomes.flatMap((outcome) =>
    outcome.status === 'fulfilled' ? [outcome.value] : [],
  )
  expect(running).toHaveLength(1)
  expect(await content(running[0]?.url ?? '')).toEqual(KEPT)
})

test('the server killed: the service is told, and the next start has the data', async () => {
  let told = false
  const { url, stop } = await cases.start(() => {
    told = true
  })
  await query(url, "insert into box values ('committed')")

  process.kill(cases.serverPid() ?? 0, 'SIGKILL')
  await expect.poll(() => told, { timeout: 10_000 }).toBe(true)
  await stop()

  expect(await content((await cases.start()).url)).toEqual([...KEPT, { content: 'committed' }])
})

test('an intended stop is not reported as an end', async () => {
  let told = false
  const { stop } = await cases.start(() => {
    told = true
  })

  await stop()

  expect(told).toBe(false)
})

test('the service killed: the next start ends the server it left and has the data', async () => {
  const { child, said } = await cases.startElsewhere()
  const orphan = identityOf(cases.serverPid() ?? 0)
  await query(said.url, "insert into box values ('committed')")
  await killAndWait(child)
  expect(orphan !== undefined && isRunning(orphan)).toBe(true)

  const { url } = await cases.start()

  expect(orphan !== undefined && isRunning(orphan)).toBe(false)
  expect(await content(url)).toEqual([...KEPT, { content: 'committed' }])
})

test('service and server killed together: the next start has the data', async () => {
  const { child, said } = await cases.startElsewhere()
  await query(said.url, "insert into box values ('committed')")
  process.kill(cases.serverPid() ?? 0, 'SIGKILL')
  await killAndWait(child)

  expect(await content((await cases.start()).url)).toEqual([...KEPT, { content: 'committed' }])
})

test('a service that ends by an uncaught error takes the server with it', async () => {
  const { child } = await cases.startElsewhere(undefined, 'fail')
  if (child.exitCode === null) await once(child, 'exit')

  await expect.poll(() => cases.serverPid(), { timeout: 10_000 }).toBeUndefined()
})

test('a process number that now belongs to somebody else does not prevent the start', async () => {
  await writeFile(join(cases.dataDir, 'postgres/postmaster.pid'), `${process.pid}\n`)
  await writeFile(
    join(cases.dataDir, 'embedded.lock'),
    JSON.stringify({ pid: process.pid, started: 'in another life' }),
  )

  expect(await content((await cases.start()).url)).toEqual(KEPT)
})

test('an interrupted first start leaves nothing in the way of the next', async () => {
  cases.dataDir = join(cases.root, 'interrupted')
  mkdirSync(join(cases.dataDir, 'postgres.new'), { recursive: true })
  await writeFile(join(cases.dataDir, 'postgres.new/PG_VERSION'), '18\n')

  expect(await query((await cases.start()).url, 'select 1 as one')).toEqual([{ one: 1 }])
})

test('a server that does not start: its own words are shown, and the folder is free again', async () => {
  const version = join(cases.dataDir, 'postgres/PG_VERSION')
  const text = readFileSync(version)
  await writeFile(version, '17\n')

  await expect(cases.start()).rejects.toThrow(
    /PostgreSQL did not start[^]*incompatible with server/,
  )

  await writeFile(version, text)
  expect(await content((await cases.start()).url)).toEqual(KEPT)
})
