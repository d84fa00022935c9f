import { randomUUID } from 'node:crypto'
import { inject } from 'vitest'
import { z } from 'zod'
import { type Database, openDatabase } from '../../src/storage/database.ts'
import { asAdmin, databaseUrl } from './database-server.ts'

export interface TestDatabase {
  /** For the owner of the tables. */
  readonly url: string
  readonly database: Database
  readonly drop: () => Promise<void>
}

const Answer = z.object({ adminUrl: z.string(), template: z.string() })

const POOL_SIZE = 4
const STATEMENT_TIMEOUT_MS = 10_000

/**
 * A migrated database of its own for the test file:
 *
 *     const { database, drop } = await testDatabase()
 *     afterAll(drop)
 */
export async function testDatabase(): Promise<TestDatabase> {
  const { adminUrl, template } = await testServer()
  const name = `${template}_${randomUUID().slice(0, 8)}`
  await asAdmin(adminUrl, `create database ${name} template ${template}`)
  const url = databaseUrl(adminUrl, name)
  const database = openDatabase({
    url,
    poolSize: POOL_SIZE,
    statementTimeoutMs: STATEMENT_TIMEOUT_MS,
  })
  const drop = async () => {
    await database.close()
    await asAdmin(adminUrl, `drop database if exists ${name} with (force)`)
  }
  return { url, database, drop }
}

/** An empty database on the same server, for what the migrations themselves do. */
export async function emptyDatabase(): Promise<{ url: string; drop: () => Promise<void> }> {
  const { adminUrl, template } = await testServer()
  const name = `${template}_${randomUUID().slice(0, 8)}`
  await asAdmin(adminUrl, `create database ${name} template template0`)
  const drop = () => asAdmin(adminUrl, `drop database if exists ${name} with (force)`)
  return { url: databaseUrl(adminUrl, name), drop }
}

async function testServer() {
  const answer = await fetch(inject('databaseServer'))
  if (!answer.ok) throw new Error(`There is no test database: ${await answer.text()}`)
  return Answer.parse(await answer.json())
}
