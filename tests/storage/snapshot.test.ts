import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { NO_SEARCH_VALUES } from '../../src/fhir/search-index.ts'
import { insertVersions } from '../../src/storage/resource-writes.ts'
import { readResource } from '../../src/storage/resources.ts'
import type { Tx } from '../../src/storage/transaction.ts'
import { type TestDatabase, testDatabase } from '../helpers/database.ts'

let database: TestDatabase

beforeAll(async () => {
  database = await testDatabase()
})
afterAll(() => database.drop())

const CLINIC = randomUUID()

const write = (id: string) => (tx: Tx) =>
  insertVersions(tx, CLINIC, [
    {
      type: 'Patient',
      id,
      version: 1,
      partnerId: undefined,
      deleted: false,
      body: '{"resourceType":"Patient"}',
      updatedAt: '2026-03-02T09:00:00.000Z',
      search: NO_SEARCH_VALUES,
    },
  ])
const isThere = async (tx: Tx, id: string): Promise<boolean> =>
  (await readResource(tx, { clinicId: CLINIC, type: 'Patient', id })) !== undefined

test('a snapshot stays as it was, whatever is written meanwhile', async () => {
  const { inClinic, snapshotInClinic } = database.database
  const scope = { clinicId: CLINIC }
  await inClinic(scope, write('first'))

  const seen = await snapshotInClinic(scope, async (tx) => {
    const before = [await isThere(tx, 'first'), await isThere(tx, 'second')]
    await inClinic(scope, write('second'))
    return [...before, await isThere(tx, 'second')]
  })

  expect(seen).toEqual([true, false, false])
  expect(await inClinic(scope, (tx) => isThere(tx, 'second'))).toBe(true)
})

test('a snapshot is of one clinic, and nothing can be written in it', async () => {
  const { snapshotInClinic } = database.database

  const seen = await snapshotInClinic({ clinicId: randomUUID() }, (tx) => isThere(tx, 'first'))

  expect(seen).toBe(false)
  await expect(snapshotInClinic({ clinicId: CLINIC }, write('third'))).rejects.toMatchObject({
    code: '25006',
  })
})
