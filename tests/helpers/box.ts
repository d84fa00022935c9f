import { sql } from 'drizzle-orm'
import { openDatabase } from '../../src/storage/database.ts'
import type { Tx } from '../../src/storage/transaction.ts'
import { asAdmin } from './database-server.ts'
import { testDatabase } from './database.ts'

// A table of two rows without a policy, for what transactions themselves do.

export const CLINIC = '5c1c0000-0000-4000-8000-000000000001'
export const PARTNER = '5c1c0000-0000-4000-8000-000000000002'

export const STATEMENT_TIMEOUT_MS = 2_000

/** `single` has one connection only: what a unit of work leaves behind, the next one sees. */
export async function databaseWithBox() {
  const { url, database, drop } = await testDatabase()
  const single = openDatabase({ url, poolSize: 1, statementTimeoutMs: STATEMENT_TIMEOUT_MS })
  await database.asOwner(async (tx) => {
    await tx.drizzle.execute(sql`create table box (id integer primary key, content text not null)`)
    await tx.drizzle.execute(sql`insert into box values (1, 'a'), (2, 'b')`)
    await tx.drizzle.execute(sql`grant all on box to app_service`)
  })
  const end = async () => {
    await single.close()
    await drop()
  }
  return { url, database, single, end }
}

export const SETTINGS = {
  name: 'test-settings',
  text: `select current_user as role, current_setting('app.clinic', true) as clinic,
    current_setting('app.partner', true) as partner, pg_backend_pid() as connection`,
}

export interface Settings extends Record<string, unknown> {
  readonly role: string
  readonly clinic: string
  readonly partner: string
  readonly connection: number
}

export const settings = (tx: Tx) => tx.query<Settings>(SETTINGS)

export const contents = (tx: Tx) =>
  tx.query<{ content: string }>({ name: 'test-box', text: 'select content from box order by id' })

export const setContent = (tx: Tx, id: number, content: string) =>
  tx.query({
    name: 'test-set-content',
    text: 'update box set content = $2 where id = $1',
    values: [id, content],
  })

export const raise = (tx: Tx, code: string) =>
  tx.drizzle.execute(sql.raw(`do $$ begin raise exception using errcode = '${code}'; end $$`))

/** Ends a connection of somebody else's and waits until it has ended. */
export const kill = (url: string, connection = 0) =>
  asAdmin(url, `select pg_terminate_backend(${connection}, 5000)`)
