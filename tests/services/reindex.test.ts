import { randomUUID } from 'node:crypto'
import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { searchSignature } from '../../src/fhir/search-signature.ts'
import { searchValues } from '../../src/fhir/search-values.ts'
import { projectAudit } from '../../src/services/audit-projection.ts'
import { reindex } from '../../src/services/reindex.ts'
import { insertVersions } from '../../src/storage/resource-writes.ts'
import { referralParts } from '../helpers/referral.ts'
import {
  BASE,
  entries,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

const TABLES = [
  'index_tokens',
  'index_references',
  'index_strings',
  'index_uris',
  'index_dates',
  'index_quantities',
  'index_pairs',
]

let service: TestService

beforeAll(async () => {
  service = await testService()
  return service.close
})

const now = () => reindex(service.service.context.db, BASE)

/** A registered clinic with one referral, and with further observations when asked. */
async function clinicWith(observations = 0): Promise<{ staff: Who; clinicId: string }> {
  const { staff, partner } = await service.clinic()
  const { clinicId } = staff
  await service.sql('insert into clinics (clinic_id, name, created_at) values ($1, $2, now())', [
    clinicId,
    'An invented clinic',
  ])
  await service.refer(partner, referralParts({ key: clinicId }))
  const versions = Array.from({ length: observations }, (_, index) => {
    const id = randomUUID()
    const resource = {
      resourceType: 'Observation',
      status: 'final',
      code: { coding: [{ system: 'urn:invented', code: `c${index}` }] },
      valueQuantity: { value: index, code: 'mm' },
    }
    return {
      type: 'Observation',
      id,
      version: 1,
      partnerId: undefined,
      deleted: false,
      updatedAt: '2026-03-02T09:00:00.000Z',
      body: JSON.stringify({ ...resource, id }),
      search: searchValues({ type: 'Observation', id, baseUrl: BASE }, resource),
    }
  })
  await service.service.context.db.inClinic({ clinicId }, (tx) =>
    insertVersions(tx, clinicId, versions),
  )
  // What was asked until now is indexed now, not in the middle of a test.
  await projectAudit(service.service.context, clinicId)
  return { staff, clinicId }
}

/** Everything that a clinic is searched by, but for the log, which every call adds to. */
async function indexOf(clinicId: string): Promise<unknown[]> {
  const columns = await service.sql(
    `select type, id, patient_id, code_system, code, status, date_start, date_end, deleted
    from resources where clinic_id = $1 and type <> 'AuditEvent' order by type, id`,
    [clinicId],
  )
  const tables = await Promise.all(
    TABLES.map((table) =>
      service.sql(
        `select * from ${table} where clinic_id = $1 and type <> 'AuditEvent'
        order by type, id, ordinal`,
        [clinicId],
      ),
    ),
  )
  return [columns, ...tables]
}

async function empty(clinicId: string): Promise<void> {
  for (const table of TABLES)
    await service.sql(`delete from ${table} where clinic_id = $1`, [clinicId])
  await service.sql(
    `update resources set patient_id = null, code_system = null, code = null, status = null,
      date_start = null, date_end = null where clinic_id = $1`,
    [clinicId],
  )
}

const setState = (clinicId: string, signature: string) =>
  service.sql(
    `insert into index_states values ($1, $2)
    on conflict (clinic_id) do update set signature = excluded.signature`,
    [clinicId, signature],
  )

const stateOf = async (clinicId: string): Promise<unknown> => {
  const [row] = await service.sql('select signature from index_states where clinic_id = $1', [
    clinicId,
  ])
  return row?.['signature']
}

test('what no index knows is found again, by the same rows', async () => {
  const { staff, clinicId } = await clinicWith()
  const search = { url: '/fhir/Observation?code:missing=false&_count=100' }
  const before = await indexOf(clinicId)
  const found = entries(await service.send(staff, search)).length
  await empty(clinicId)
  expect(entries(await service.send(staff, search))).toHaveLength(0)

  await now()

  expect(found).toBeGreaterThan(0)
  expect(await indexOf(clinicId)).toEqual(before)
  expect(entries(await service.send(staff, search))).toHaveLength(found)
  expect(await stateOf(clinicId)).toBe(searchSignature())
})

test('an index that was written with another table is written anew', async () => {
  const { clinicId } = await clinicWith()
  const before = await indexOf(clinicId)
  await empty(clinicId)
  await setState(clinicId, 'of another table')

  expect(await now()).toBeGreaterThan(0)

  expect(await indexOf(clinicId)).toEqual(before)
})

test('an index of the same table stays as it is', async () => {
  const { clinicId } = await clinicWith()
  await now()
  await empty(clinicId)
  const before = await indexOf(clinicId)

  expect(await now()).toBe(0)

  expect(await indexOf(clinicId)).toEqual(before)
})

test('rows of a wrong index do not remain', async () => {
  const { clinicId } = await clinicWith()
  const before = await indexOf(clinicId)
  await service.sql(`update index_tokens set code = 'wrong' where clinic_id = $1`, [clinicId])

  await now()

  expect(await indexOf(clinicId)).toEqual(before)
})

test('more than one transaction holds is written by two that start together, each once', async () => {
  const { clinicId } = await clinicWith(450)
  const before = await indexOf(clinicId)
  await empty(clinicId)

  const written = await Promise.all([now(), now()])

  const [{ count } = { count: '' }] = await service.sql<{ count: string }>(
    'select count(*) as count from resources where clinic_id = $1 and not deleted',
    [clinicId],
  )
  expect(written[0] + written[1]).toBe(Number(count))
  expect(await indexOf(clinicId)).toEqual(before)
})

test('what was broken off goes on where it was', async () => {
  const { clinicId } = await clinicWith(20)
  const before = await indexOf(clinicId)
  const keys = await service.sql<{ type: string; id: string; at: string }>(
    `select type, id, to_char(created_at, 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"') as at
    from resources where clinic_id = $1 and not deleted
    order by type collate "C", created_at, id`,
    [clinicId],
  )
  const middle = Math.floor(keys.length / 2)
  const { type, id, at } = keys[middle] ?? {}
  await setState(clinicId, `${searchSignature()} ${type} ${id} ${at}`)
  const after = keys.slice(middle + 1).map((key) => key.id)
  await service.sql('delete from index_tokens where clinic_id = $1 and id = any($2)', [
    clinicId,
    after,
  ])

  expect(await now()).toBe(after.length)

  expect(await indexOf(clinicId)).toEqual(before)
  expect(await stateOf(clinicId)).toBe(searchSignature())
})

test('what was deleted stays unfindable', async () => {
  const { staff, clinicId } = await clinicWith()
  const found = entries(await service.send(staff, { url: '/fhir/RelatedPerson' }))
  const { id } = found[0]?.resource ?? {}
  await service.send(staff, { method: 'DELETE', url: `/fhir/RelatedPerson/${String(id)}` })
  const before = await indexOf(clinicId)

  await now()

  expect(await indexOf(clinicId)).toEqual(before)
  expect(
    await service.sql('select 1 from index_strings where clinic_id = $1 and id = $2', [
      clinicId,
      id,
    ]),
  ).toEqual([])
})

test('a change during the rewriting is not lost', async () => {
  const { staff } = await clinicWith(450)
  const found = await service.send(staff, { url: '/fhir/Observation?code=c7' })
  const [observation = {}] = resources(found)
  const valueQuantity = { value: 99, system: 'urn:invented', code: 'mm' }
  const sent = {
    method: 'PUT',
    url: `/fhir/Observation/${z.string().parse(observation['id'])}`,
    body: { ...observation, valueQuantity },
  } as const

  const [, answer] = await Promise.all([now(), service.send(staff, sent)])

  expect(answer.status).toBe(200)
  const changed = { url: '/fhir/Observation?code=c7&value-quantity=99||mm' }
  expect(entries(await service.send(staff, changed))).toHaveLength(1)
})

test('a clinic without resources has its signature', async () => {
  const clinicId = randomUUID()
  await service.sql('insert into clinics (clinic_id, name, created_at) values ($1, $2, now())', [
    clinicId,
    'An invented clinic',
  ])

  expect(await now()).toBe(0)

  expect(await stateOf(clinicId)).toBe(searchSignature())
})
