import { beforeAll, expect, test } from 'vitest'
import { connectionTo } from '../../src/storage/connection.ts'
import { DatabaseFailure } from '../../src/storage/database-failure.ts'
import { openSharedLines, type SharedLines } from '../../src/storage/shared-lines.ts'
import { databaseWithBox, kill, STATEMENT_TIMEOUT_MS } from '../helpers/box.ts'

let url: string
let shared: SharedLines

beforeAll(async () => {
  const made = await databaseWithBox()
  url = made.url
  shared = openSharedLines(connectionTo({ url, statementTimeoutMs: STATEMENT_TIMEOUT_MS }), 2)
  return async () => {
    await shared.close()
    await made.end()
  }
})

const connection = async (): Promise<number> => {
  const [row] = await shared.send<{ pid: number }>({
    name: 'pid',
    text: 'select pg_backend_pid() as pid',
  })
  return row?.pid ?? 0
}

test('many reads at once take two connections and get each its own answer', async () => {
  const asked = Array.from({ length: 500 }, (_, place) => place)
  const rows = await Promise.all(
    asked.map((place) =>
      shared.send<{ place: number; pid: number }>({
        name: 'place',
        text: 'select $1::int as place, pg_backend_pid() as pid',
        values: [place],
      }),
    ),
  )

  expect(rows.map(([row]) => row?.place)).toEqual(asked)
  expect(new Set(rows.map(([row]) => row?.pid)).size).toBe(2)
})

test('a setting made for one statement is gone for the next on the same connection', async () => {
  const set = { text: `select set_config('app.clinic', 'left over', true) as told` }
  const told = await Promise.all([shared.send(set), shared.send(set)])
  const seen = await Promise.all(
    [1, 2].map(() =>
      shared.send<{ clinic: string }>({
        text: `select current_setting('app.clinic', true) as clinic`,
      }),
    ),
  )

  expect(told).toEqual([[{ told: 'left over' }], [{ told: 'left over' }]])
  expect(seen).toEqual([[{ clinic: '' }], [{ clinic: '' }]])
})

test('a statement that fails takes none of those beside it along, and tells no parameters', async () => {
  const secret = 'Mara Quill'
  const answers = await Promise.allSettled([
    shared.send({ text: 'select 1 as one' }),
    shared.send({ text: 'select 1 / ($1::text is null)::int as one', values: [secret] }),
    shared.send({ text: 'select 2 as one' }),
    shared.send({ text: 'select 3 as one' }),
  ])

  expect(answers.map(({ status }) => status)).toEqual([
    'fulfilled',
    'rejected',
    'fulfilled',
    'fulfilled',
  ])
  const [, failed] = answers
  expect(failed?.status === 'rejected' && failed.reason).toBeInstanceOf(DatabaseFailure)
  expect(JSON.stringify(failed)).not.toContain(secret)
})

test('nothing can be changed: 25006', async () => {
  await expect(shared.send({ text: 'delete from box' })).rejects.toMatchObject({ code: '25006' })
})

test('connections that were cut are opened anew', async () => {
  const pids = [await connection(), await connection()]
  for (const pid of pids) await kill(url, pid)
  // Whoever asks before the loss is known may hear of it; after that the reads go on.
  await Promise.allSettled([connection(), connection()])
  const after = [await connection(), await connection()]

  expect(after.some((pid) => pids.includes(pid) || pid === 0)).toBe(false)
})
