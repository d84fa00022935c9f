import { randomUUID } from 'node:crypto'
import { existsSync } from 'node:fs'
import { mkdtemp, rm } from 'node:fs/promises'
import { createServer, request } from 'node:http'
import type { AddressInfo } from 'node:net'
import { homedir, tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as delay } from 'node:timers/promises'
import { Client } from 'pg'
import type { TestProject } from 'vitest/node'
import { startEmbedded } from '../../src/storage/embedded.ts'
import { migrate } from '../../src/storage/migrate.ts'

// One PostgreSQL server per test run, with one migrated template database. It starts when the first test
// file asks for a database, so that a run without one does not wait for it.

export interface TestServer {
  /** For a role that may create databases. */
  readonly adminUrl: string
  /** The migrated database that is cloned for each test file. */
  readonly template: string
}

declare module 'vitest' {
  interface ProvidedContext {
    /** Answers with the TestServer. */
    databaseServer: string
  }
}

interface Server {
  readonly url: string
  readonly stop: () => Promise<unknown>
}

const DOCKER_ANSWER_MS = 1_000
/** Includes the download of the image. */
const CONTAINER_START_MS = 120_000
const IMAGE = 'postgres:18'

/** For vitest's globalSetup. */
export async function setup(project: TestProject): Promise<() => Promise<void>> {
  let started: Promise<TestServer & Server> | undefined
  const path = `/${randomUUID()}`
  const front = createServer((incoming, answer) => {
    if (incoming.url === path) {
      started ??= startTestServer()
      started.then(
        ({ adminUrl, template }) => answer.end(JSON.stringify({ adminUrl, template })),
        (error: unknown) => answer.writeHead(500).end(String(error)),
      )
    } else {
      answer.writeHead(404).end()
    }
  })
  await new Promise<void>((resolve) => front.listen(0, '127.0.0.1', resolve))
  // oxlint-disable-next-line typescript/no-unsafe-type-assertion -- a TCP server has no other address
  const { port } = front.address() as AddressInfo
  project.provide('databaseServer', `http://127.0.0.1:${port}${path}`)

  return async () => {
    front.close()
    await (await started?.catch(() => undefined))?.stop()
  }
}

async function startTestServer(): Promise<TestServer & Server> {
  const server = await firstRung()
  const template = `footing_test_${randomUUID().replaceAll('-', '')}`
  await asAdmin(server.url, `create database ${template}`)
  await migrate(databaseUrl(server.url, template))
  const stop = async () => {
    await asAdmin(server.url, `drop database if exists ${template} with (force)`)
    await server.stop()
  }
  return { url: server.url, adminUrl: server.url, template, stop }
}

/** The given server, else a container, else the embedded one. */
async function firstRung(): Promise<Server> {
  const given = process.env.TEST_DATABASE_URL
  if (given) return { url: given, stop: async () => {} }
  if (await dockerAnswers()) {
    try {
      return await startContainer()
    } catch {
      console.warn(
        `Docker answers but ${IMAGE} does not start; the embedded server takes its place.`,
      )
    }
  }
  return startTemporary()
}

/** Does a Docker engine answer at once? Not when there is a client without an engine. */
export function dockerAnswers(host = dockerHost()): Promise<boolean> {
  if (host === undefined) return Promise.resolve(false)
  const { protocol, hostname, port, pathname } = new URL(host)
  const target =
    protocol === 'unix:' ? { socketPath: pathname } : { host: hostname, port: port || 2375 }
  return new Promise((resolve) => {
    const signal = AbortSignal.timeout(DOCKER_ANSWER_MS)
    const ping = request({ ...target, path: '/_ping', signal }, (answer) => {
      resolve(answer.statusCode === 200)
      answer.destroy()
    })
    ping.once('error', () => resolve(false))
    ping.end()
  })
}

function dockerHost(): string | undefined {
  if (process.env.DOCKER_HOST) return process.env.DOCKER_HOST
  const runtime = process.env.XDG_RUNTIME_DIR ?? '/run'
  const places = [
    '/var/run/docker.sock',
    `${runtime}/docker.sock`,
    join(homedir(), '.docker/run/docker.sock'),
  ]
  const socket = places.find((place) => existsSync(place))
  return socket === undefined ? undefined : `unix://${socket}`
}

async function startContainer(): Promise<Server> {
  const { PostgreSqlContainer } = await import('@testcontainers/postgresql')
  const starting = new PostgreSqlContainer(IMAGE).start()
  const late = delay(CONTAINER_START_MS, undefined, { ref: false }).then(() => {
    throw new Error('the container took too long')
  })
  const container = await Promise.race([starting, late])
  return { url: container.getConnectionUri(), stop: () => container.stop() }
}

async function startTemporary(): Promise<Server> {
  const folder = await mkdtemp(join(tmpdir(), 'footing-test-'))
  const server = await startEmbedded({ dataDir: join(folder, 'data') })
  // Nothing here has to outlive a power cut, and every test file makes a database.
  await asAdmin(server.url, 'alter system set fsync = off')
  await asAdmin(server.url, 'select pg_reload_conf()')
  const stop = async () => {
    await server.stop()
    await rm(folder, { recursive: true, force: true })
  }
  return { url: server.url, stop }
}

export async function asAdmin(url: string, statement: string): Promise<void> {
  const client = new Client({ connectionString: url })
  await client.connect()
  try {
    await client.query(statement)
  } finally {
    await client.end()
  }
}

export function databaseUrl(serverUrl: string, database: string): string {
  const url = new URL(serverUrl)
  url.pathname = `/${database}`
  return url.href
}
