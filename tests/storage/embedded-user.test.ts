import { execFileSync } from 'node:child_process'
import { chmodSync, chownSync, mkdirSync, statSync } from 'node:fs'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest'
import type { Account } from '../../src/storage/embedded-account.ts'
import { content, EmbeddedCases, KEPT, query } from '../helpers/embedded.ts'

const AS_ROOT = process.getuid?.() === 0
const ORDINARY: Account = { uid: 65_534, gid: 65_534 }

const cases = new EmbeddedCases()

beforeAll(() => cases.prepare())
beforeEach(() => cases.next())
afterEach(() => cases.clear())
afterAll(() => cases.remove())

test.runIf(AS_ROOT).for([
  ['that nobody else may enter', 0o700],
  ['that everybody may enter', 0o755],
] as const)('root: below a folder %s', async ([, mode]) => {
  await inTemporaryFolder(async (parent) => {
    chmodSync(parent, mode)
    cases.dataDir = join(parent, 'data')

    const { url, stop } = await cases.start()

    expect(await query(url, 'select 1 as one')).toEqual([{ one: 1 }])
    expect(statSync(join(cases.dataDir, 'postgres')).uid).not.toBe(0)
    await stop()
  })
})

test.runIf(AS_ROOT)(
  'root: a copy that belongs to root is given to the user of the server',
  async () => {
    execFileSync('chown', ['-R', '0:0', cases.dataDir])

    expect(await content((await cases.start()).url)).toEqual(KEPT)
  },
)

test('an ordinary user starts it as itself', async () => {
  await inTemporaryFolder(async (parent) => {
    cases.dataDir = join(parent, 'data')
    mkdirSync(cases.dataDir)
    const account = AS_ROOT ? ORDINARY : undefined
    if (account !== undefined)
      for (const path of [parent, cases.dataDir]) chownSync(path, account.uid, account.gid)

    const { said } = await cases.startElsewhere(account)

    expect(said.problem).toBeUndefined()
    expect(said.uid).not.toBe(0)
    expect(statSync(join(cases.dataDir, 'postgres')).uid).toBe(said.uid)
    expect(await query(said.url, 'select 1 as one')).toEqual([{ one: 1 }])
    await cases.clear()
  })
})

test.runIf(AS_ROOT)('the folder of another user: it is said whose it is', async () => {
  const { said } = await cases.startElsewhere(ORDINARY)

  expect(said.problem).toMatch(/belongs to another user \(\d+\)/)
})

async function inTemporaryFolder(use: (folder: string) => Promise<void>): Promise<void> {
  const folder = await mkdtemp(join(tmpdir(), 'footing-user-'))
  try {
    await use(folder)
  } finally {
    await rm(folder, { recursive: true })
  }
}
