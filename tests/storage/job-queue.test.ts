import { Client } from 'pg'
import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { type JobKind, type JobQueue, openJobQueue } from '../../src/storage/job-queue.ts'
import { testDatabase } from '../helpers/database.ts'

const POLL_MS = 500
const GREETING: JobKind<{ place: string }> = {
  name: 'greeting',
  data: z.object({ place: z.string() }),
}

let url: string
let owner: Client

beforeAll(async () => {
  const database = await testDatabase()
  url = database.url
  owner = new Client({ connectionString: url })
  await owner.connect()
  return async () => {
    await owner.end()
    await database.drop()
  }
})

async function withQueue(
  use: (queue: JobQueue, failures: readonly unknown[]) => Promise<void>,
): Promise<void> {
  const failures: unknown[] = []
  const queue = await openJobQueue({
    url,
    pollMs: POLL_MS,
    onFailure: (error) => failures.push(error),
  })
  try {
    await use(queue, failures)
  } finally {
    await queue.stop()
  }
}

/** Settled when it was called so often. */
function counted<Value>(often: number) {
  const values: Value[] = []
  let settle: () => void
  const done = new Promise<void>((resolve) => {
    settle = resolve
  })
  return {
    values,
    done,
    add: (value: Value) => {
      values.push(value)
      if (values.length === often) settle()
    },
  }
}

test('a job is done with its data; of jobs with one key that wait one is done', async () => {
  await withQueue(async (queue, failures) => {
    const done = counted<string>(2)
    await queue.work(GREETING, 0, () => Promise.resolve())
    await queue.send(GREETING, 'a', { place: 'first' })
    await queue.send(GREETING, 'a', { place: 'second' })
    await queue.send(GREETING, 'b', { place: 'third' })

    await queue.work(GREETING, 1, ({ place }) => Promise.resolve(done.add(place)))
    await done.done

    expect(done.values).toEqual(['first', 'third'])
    expect(failures).toEqual([])
  })
})

test('a job that fails is reported, is not done again, and holds up no other', async () => {
  await withQueue(async (queue, failures) => {
    const done = counted<string>(1)
    await queue.work(GREETING, 1, ({ place }) => {
      if (place === 'bad') throw new Error('it did not work')
      done.add(place)
      return Promise.resolve()
    })
    await queue.send(GREETING, 'a', { place: 'bad' })
    await queue.send(GREETING, 'b', { place: 'good' })
    await done.done

    expect(failures).toMatchObject([{ message: 'it did not work' }])
    expect(done.values).toEqual(['good'])
  })
})

test('data that are not those of the kind do not reach the work', async () => {
  await withQueue(async (queue, failures) => {
    const done = counted<string>(1)
    await queue.work({ name: 'greeting', data: z.object({}) }, 0, () => Promise.resolve())
    await queue.send({ name: 'greeting', data: z.object({ other: z.number() }) }, 'a', { other: 1 })
    await queue.send(GREETING, 'b', { place: 'good' })
    await queue.work(GREETING, 1, ({ place }) => Promise.resolve(done.add(place)))
    await done.done

    expect(done.values).toEqual(['good'])
    expect(failures).toMatchObject([{ name: 'ZodError' }])
  })
})

test('a schedule is kept once, whatever process says it', async () => {
  await withQueue(async (queue) => {
    await queue.every('cleaning', '0 3 * * *', () => Promise.resolve())
    await withQueue((second) => second.every('cleaning', '0 4 * * *', () => Promise.resolve()))

    const { rows } = await owner.query<object>('select name, cron, timezone from jobs.schedule')
    expect(rows).toEqual([{ name: 'cleaning', cron: '0 4 * * *', timezone: 'UTC' }])
  })
})

test('the role of the queue owns it and may read nothing else; the role of the service may not read it', async () => {
  const asked = async (role: string, text: string) => {
    await owner.query('begin')
    try {
      await owner.query(`set local role ${role}`)
      await owner.query(text)
      return 'allowed'
    } catch (error) {
      return error instanceof Error && 'code' in error ? error.code : error
    } finally {
      await owner.query('rollback')
    }
  }

  expect(await asked('app_jobs', 'select from jobs.job')).toBe('allowed')
  for (const table of ['resources', 'audit_log', 'signing_keys', 'clients'])
    expect(await asked('app_jobs', `select from ${table}`)).toBe('42501')
  expect(await asked('app_service', 'select from jobs.job')).toBe('42501')
})

test('a database that does not answer fails the start', async () => {
  const nowhere = new URL(url)
  nowhere.pathname = '/there_is_no_such_database'

  await expect(
    openJobQueue({ url: nowhere.href, pollMs: POLL_MS, onFailure: () => {} }),
  ).rejects.toMatchObject({ code: '3D000' })
})
