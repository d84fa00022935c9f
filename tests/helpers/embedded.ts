import { type ChildProcess, execFileSync, spawn } from 'node:child_process'
import { once } from 'node:events'
import { existsSync, readFileSync } from 'node:fs'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'
import { Client } from 'pg'
import { z } from 'zod'
import { type Account, launchAs } from '../../src/storage/embedded-account.ts'
import { identityOf, shutDown } from '../../src/storage/embedded-process.ts'
import { type EmbeddedServer, startEmbedded } from '../../src/storage/embedded.ts'

const OWNER_SCRIPT = fileURLToPath(new URL('embedded-owner.ts', import.meta.url))
const CHECKOUT = fileURLToPath(new URL('../..', import.meta.url))

const Said = z.object({
  url: z.string().default(''),
  uid: z.number().optional(),
  problem: z.string().optional(),
})

/** What the original database holds. */
export const KEPT = [{ content: 'kept' }]

/** Servers in folders of their own, on copies of one that was made and stopped before. */
export class EmbeddedCases {
  /** A folder that nobody but its owner may enter, as every folder of mkdtemp. */
  root = ''
  dataDir = ''
  private readonly servers: EmbeddedServer[] = []
  private readonly children: ChildProcess[] = []

  async prepare(): Promise<void> {
    this.root = await mkdtemp(join(tmpdir(), 'footing-embedded-'))
    const server = await startEmbedded({ dataDir: join(this.root, 'original') })
    await query(server.url, `create table box as select 'kept' as content`)
    await server.stop()
  }

  /** A stopped database for one test, as a service of before has left it. */
  async next(): Promise<void> {
    this.dataDir = join(await mkdtemp(join(this.root, 'case-')), 'data')
    execFileSync('cp', ['-a', join(this.root, 'original'), this.dataDir])
  }

  async start(onExit: () => void = () => {}): Promise<EmbeddedServer> {
    const server = await startEmbedded({ dataDir: this.dataDir, onExit })
    this.servers.push(server)
    return server
  }

  /** Starts the server from another process, which says its URL or its problem. */
  async startElsewhere(account?: Account, mode: 'keep' | 'fail' = 'keep') {
    const args = ['--import', 'tsx', OWNER_SCRIPT, this.dataDir, mode]
    const launch = await launchAs(account, [CHECKOUT, this.dataDir], process.execPath, args)
    const child = spawn(launch.command, launch.args, {
      cwd: CHECKOUT,
      env: { PATH: process.env.PATH, TMPDIR: this.dataDir },
      stdio: ['ignore', 'pipe', 'ignore'],
      ...launch.as,
    })
    this.children.push(child)
    for await (const line of createInterface(child.stdout))
      return { child, said: Said.parse(JSON.parse(line)) }
    throw new Error('the other process said nothing')
  }

  /** The number that PostgreSQL noted in its folder; nothing when it ended in order. */
  serverPid(): number | undefined {
    const file = join(this.dataDir, 'postgres/postmaster.pid')
    return existsSync(file) ? Number(readFileSync(file, 'utf8').split('\n')[0]) : undefined
  }

  /** Ends whatever the test left running. */
  async clear(): Promise<void> {
    for (const server of this.servers.splice(0)) await server.stop()
    for (const child of this.children.splice(0)) child.kill('SIGKILL')
    const left = identityOf(this.serverPid() ?? 0)
    if (left !== undefined && left.pid !== process.pid) await shutDown(left)
  }

  async remove(): Promise<void> {
    await rm(this.root, { recursive: true, force: true })
  }
}

export async function killAndWait(child: ChildProcess): Promise<void> {
  const exit = once(child, 'exit')
  child.kill('SIGKILL')
  await exit
}

export async function query(url: string, statement: string): Promise<Record<string, unknown>[]> {
  const client = new Client({ connectionString: url })
  client.on('error', () => {})
  try {
    await client.connect()
    const { rows } = await client.query<Record<string, unknown>>(statement)
    return rows
  } finally {
    await client.end()
  }
}

export const content = (url: string) => query(url, 'select content from box')
