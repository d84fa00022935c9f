import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { BEFORE_THE_FIRST, chainHash } from '../../src/security/audit-chain.ts'
import { checkpointText, readCheckpoint } from '../../src/security/checkpoint.ts'
import { openAudit } from '../../src/services/audit.ts'
import { projectAudit } from '../../src/services/audit-projection.ts'
import { type Verification, verifyLog } from '../../src/services/audit-verification.ts'
import { keepCheckpoints } from '../../src/services/checkpoint-upkeep.ts'
import { type Sealed, takeCheckpoint } from '../../src/services/checkpoints.ts'
import type { AuditRecord } from '../../src/fhir/audit-record.ts'
import { clinicsWithPending, finishWriters } from '../../src/storage/audit-reading.ts'
import { BASE, type TestService, testService } from '../helpers/service.ts'

// Tests T6 and S10 of the catalogue of faults: whoever changes, deletes, adds or swaps a row, be it the owner
// of the database, is told on by the verifier, which names the row.

let service: TestService
let clinicId: string

beforeAll(async () => {
  service = await testService()
})
afterAll(() => service.close())

const context = () => ({ ...service.service.context, baseUrl: BASE })

interface Row {
  readonly writer: string
  readonly sequence: number
  readonly id: string
  readonly recorded: string
  readonly record: string
  readonly previous: Buffer
  readonly hash: Buffer
}

const RECORD: AuditRecord = {
  v: 1,
  kind: 'rest',
  interaction: 'read',
  action: 'R',
  outcome: 0,
  status: 200,
  client: 'an-invented-client',
  request: 'request',
  about: [{ ref: 'Patient/an-invented-child', version: 1, did: 'read' }],
  patients: ['an-invented-child'],
}

/** So many records by one writer, one after the other. */
async function log(count: number): Promise<string> {
  const { db, now, newId } = context()
  const before = await writers()
  const audit = openAudit(db, { now, newId })
  for (let n = 0; n < count; n += 1)
    await audit.record(clinicId, { ...RECORD, request: `request-${n}` })
  const added = (await writers()).filter((writer) => !before.includes(writer))
  if (added[0] === undefined || added.length > 1) throw new Error('One writer wrote')
  return added[0]
}

const writers = async (): Promise<string[]> =>
  (
    await service.sql<{ writer: string }>(
      'select writer from audit_writers where clinic_id = $1 order by writer',
      [clinicId],
    )
  ).map(({ writer }) => writer)

const row = async (writer: string, sequence: number): Promise<Row> => {
  const [found] = await service.sql<Row>(
    `select writer, sequence::int, id, record, previous, hash,
      to_char(recorded at time zone 'utc', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"') as recorded
    from audit_log where clinic_id = $1 and writer = $2 and sequence = $3`,
    [clinicId, writer, sequence],
  )
  if (found === undefined) throw new Error('There is no such row')
  return found
}

const seal = () => takeCheckpoint(context(), clinicId)
const project = () => projectAudit(context(), clinicId)
const verify = (): Promise<Verification> =>
  service.service.context.db.snapshotInClinic({ clinicId }, (tx) =>
    verifyLog(tx, context(), clinicId),
  )

const AT = 'clinic_id = $1 and writer = $2 and sequence = $3'
/** Writes a row as somebody would who knows how hashes are made. */
async function forge(
  writer: string,
  sequence: number,
  change: Partial<Pick<Row, 'record' | 'previous'>>,
): Promise<void> {
  const kept = { ...(await row(writer, sequence)), ...change }
  await service.sql(`update audit_log set record = $4, previous = $5, hash = $6 where ${AT}`, [
    clinicId,
    writer,
    sequence,
    kept.record,
    kept.previous,
    chainHash(kept.previous, { ...kept, clinicId }),
  ])
}

const ELSE = JSON.stringify({ ...RECORD, client: 'somebody-else' })

describe('a log that nobody touched', () => {
  const counts = async () => {
    const { records, writers: chains, checkpoints, fault } = await verify()
    return { records, writers: chains, checkpoints, fault }
  }
  beforeEach(() => {
    clinicId = randomUUID()
  })

  test('is valid: empty, before and after AuditEvents are made and checkpoints are taken', async () => {
    expect(await counts()).toEqual({ records: 0, writers: 0, checkpoints: 0 })
    await log(3)
    expect(await counts()).toEqual({ records: 3, writers: 1, checkpoints: 0 })
    expect(await seal()).toMatchObject({ clinicId, number: 1 })
    await log(2)
    await project()
    expect(await seal()).toMatchObject({ clinicId, number: 2 })
    expect(await seal()).toBeUndefined()
    expect(await counts()).toEqual({ records: 5, writers: 2, checkpoints: 2 })
  })

  test('what a process only wrote is sealed, though nobody asked for AuditEvents', async () => {
    const { db, now, newId } = context()
    const audit = openAudit(db, { now, newId })
    const sealed: Sealed[] = []
    const failures: unknown[] = []
    const keeper = keepCheckpoints(
      { ...context(), audit },
      { onSealed: (one) => sealed.push(one), onFailure: (error) => failures.push(error) },
    )
    await audit.record(clinicId, RECORD)

    await keeper.stop()

    expect(failures).toEqual([])
    expect(sealed.filter((one) => one.clinicId === clinicId)).toMatchObject([{ number: 1 }])
    expect(await db.asOwner(clinicsWithPending)).toContain(clinicId)
    expect(await counts()).toEqual({ records: 1, writers: 1, checkpoints: 1 })
  })

  test('a chain at rest is looked through no more once all of it is made and sealed, and stays valid', async () => {
    const { db, newId } = context()
    const HOUR_MS = 3_600_000
    let at = Date.parse('2026-03-02T09:00:00Z')
    const audit = openAudit(db, { now: () => new Date(at), newId })
    const finish = async (restingSince: number) => {
      const asked = { restingSince: new Date(restingSince).toISOString() }
      await db.asOwner((tx) => finishWriters(tx, { ...asked, now: new Date(at).toISOString() }))
      const rows = await service.sql<{ writer: string }>(
        'select writer from audit_writers where clinic_id = $1 and finished_at is not null',
        [clinicId],
      )
      return rows.map(({ writer }) => writer)
    }
    await audit.record(clinicId, RECORD)
    const first = await writers()
    expect(first).toHaveLength(1)

    // Whatever stops the service between these steps, the next look goes on where it was.
    expect(await finish(at + 1)).toEqual([])
    await project()
    expect(await finish(at + 1)).toEqual([])
    await seal()
    expect(await finish(at)).toEqual([])
    expect(await finish(at + 1)).toEqual(first)

    at += HOUR_MS + 1
    await audit.record(clinicId, RECORD)
    expect(await writers()).toHaveLength(2)
    expect(await db.asOwner(clinicsWithPending)).toContain(clinicId)
    expect(await project()).toBe(true)
    expect(await seal()).toMatchObject({ number: 2 })
    expect(await finish(at)).toEqual(first)
    expect(await counts()).toEqual({ records: 2, writers: 2, checkpoints: 2 })
    await service.sql('update audit_log set record = $3 where clinic_id = $1 and writer = $2', [
      clinicId,
      first[0],
      ELSE,
    ])
    expect((await verify()).fault).toMatchObject({ is: 'altered', writer: first[0], sequence: 1 })
  })

  test('is valid when more rows are read than at once', async () => {
    const { db, now, newId } = context()
    const audit = openAudit(db, { now, newId })
    await Promise.all(Array.from({ length: 2_100 }, () => audit.record(clinicId, RECORD)))
    await seal()

    expect(await counts()).toMatchObject({ records: 2_100, checkpoints: 1, fault: undefined })
  })

  test('several processes that take a checkpoint at once cover each record once', async () => {
    await log(4)
    const taken = await Promise.all([seal(), seal(), seal()])

    expect(taken.filter((one) => one !== undefined)).toHaveLength(1)
    expect(await counts()).toEqual({ records: 4, writers: 1, checkpoints: 1 })
  })
})

describe('the verifier names the row', () => {
  let writer: string
  let other: string
  beforeEach(async () => {
    clinicId = randomUUID()
    writer = await log(4)
    await seal()
    await project()
    other = await log(2)
    await seal()
  })

  const sql = (text: string, ...values: readonly unknown[]) =>
    service.sql(text, [clinicId, ...values])
  const fault = async () => (await verify()).fault

  test.each([
    ['record', `record = replace(record, 'request-', 'request_')`],
    ['record, by a space', `record = record || ' '`],
    ['instant, by a microsecond', `recorded = recorded + interval '1 microsecond'`],
    ['instant, by a day', `recorded = recorded + interval '1 day'`],
    ['id', 'id = gen_random_uuid()'],
    ['hash', `hash = sha256(hash)`],
    ['hash before it', `previous = sha256(previous)`],
    ['both hashes', `previous = sha256(previous), hash = sha256(hash)`],
  ])('whose %s was changed, whichever it is', async (_, change) => {
    for (const sequence of [4, 3, 2, 1]) {
      await sql(`update audit_log set ${change} where ${AT}`, writer, sequence)
      expect(await fault()).toMatchObject({
        of: 'record',
        is: 'altered',
        writer,
        sequence,
        id: (await row(writer, sequence)).id,
      })
    }
  })

  test('that was changed by somebody who knows how hashes are made', async () => {
    for (const sequence of [4, 3, 2, 1]) {
      await forge(writer, sequence, { record: ELSE })
      expect(await fault()).toMatchObject({ is: 'altered', writer, sequence })
    }
  })

  test('that was changed so before its AuditEvent was made: the record after it tells', async () => {
    const late = await log(5)
    await forge(late, 2, { record: ELSE })

    expect(await fault()).toMatchObject({
      of: 'record',
      is: 'altered',
      writer: late,
      sequence: 2,
    })
    await forge(late, 3, { previous: (await row(late, 2)).hash })
    expect(await fault()).toMatchObject({
      of: 'record',
      is: 'altered',
      writer: late,
      sequence: 3,
    })
  })

  test('up to which a chain was written anew: the signed head tells', async () => {
    await service.sql(`delete from resources where clinic_id = $1 and type = 'AuditEvent'`, [
      clinicId,
    ])
    await service.sql('update audit_writers set projected = 0 where clinic_id = $1', [clinicId])
    let previous = BEFORE_THE_FIRST
    for (const sequence of [1, 2, 3, 4]) {
      await forge(writer, sequence, { previous, ...(sequence === 2 ? { record: ELSE } : {}) })
      previous = (await row(writer, sequence)).hash
    }

    expect(await fault()).toMatchObject({
      of: 'record',
      is: 'altered',
      writer,
      sequence: 4,
      checkpoint: 1,
    })
  })

  test('that was deleted: the first, one in the middle, the last', async () => {
    await sql(`delete from audit_log where ${AT}`, writer, 4)
    expect(await fault()).toMatchObject({ of: 'record', is: 'missing', writer, sequence: 4 })
    await sql(`delete from audit_log where ${AT}`, writer, 2)
    expect(await fault()).toMatchObject({ of: 'record', is: 'missing', writer, sequence: 2 })
    await sql(`delete from audit_log where ${AT}`, writer, 1)
    expect(await fault()).toMatchObject({ of: 'record', is: 'missing', writer, sequence: 1 })
  })

  test('that was deleted at the end with its AuditEvent: the checkpoint tells', async () => {
    const { id } = await row(other, 2)
    await sql(`delete from audit_log where ${AT}`, other, 2)
    await sql('delete from resources where clinic_id = $1 and id = $2', id)

    expect(await fault()).toMatchObject({
      of: 'record',
      is: 'missing',
      writer: other,
      sequence: 2,
      checkpoint: 2,
    })
  })

  test('that was deleted at the end before a checkpoint: its AuditEvent tells', async () => {
    const late = await log(2)
    await project()
    const { id } = await row(late, 2)
    await sql(`delete from audit_log where ${AT}`, late, 2)

    expect(await fault()).toMatchObject({ is: 'missing', writer: late, sequence: 2 })
    await sql('update audit_writers set projected = 1 where clinic_id = $1 and writer = $2', late)
    expect(await fault()).toMatchObject({ of: 'event', is: 'inserted', id })
  })

  test('at which a whole writer begins that was deleted before anything was made of it', async () => {
    writer = await log(3)
    await sql('delete from audit_log where clinic_id = $1 and writer = $2', writer)

    expect(await fault()).toMatchObject({ of: 'record', is: 'missing', writer, sequence: 1 })
  })

  test('at which a whole writer begins that was deleted, with all that speaks of it', async () => {
    await service.sql(
      `delete from resources where clinic_id = $1 and id in (
        select id::text from audit_log where clinic_id = $1 and writer = $2)`,
      [clinicId, writer],
    )
    await sql('delete from audit_log where clinic_id = $1 and writer = $2', writer)
    await sql('delete from audit_writers where clinic_id = $1 and writer = $2', writer)

    expect(await fault()).toMatchObject({ of: 'record', is: 'missing', writer, sequence: 1 })
  })

  test('that was inserted: at the end, at a place that is taken, in a chain of its own', async () => {
    const add = (text: string, ...values: readonly unknown[]) =>
      sql(
        `insert into audit_log (clinic_id, recorded, writer, sequence, id, record, previous, hash)
        select clinic_id, ${text} from audit_log where ${AT}`,
        writer,
        ...values,
      )
    const id = randomUUID()
    await add(`recorded, gen_random_uuid(), 1, $4, record, previous, hash`, 1, id)
    expect(await fault()).toMatchObject({ of: 'record', id })
    await sql('delete from audit_log where clinic_id = $1 and id = $2', id)

    await add(`recorded + interval '1 second', writer, 2, $4, record, previous, hash`, 2, id)
    expect(await fault()).toMatchObject({ of: 'record', is: 'inserted', writer, sequence: 2, id })
    await sql('delete from audit_log where clinic_id = $1 and id = $2', id)

    await add(`recorded, writer, 5, $4, record, hash, hash`, 4, id)
    expect(await fault()).toMatchObject({ of: 'record', is: 'altered', writer, sequence: 5, id })
    await sql('delete from audit_log where clinic_id = $1 and id = $2', id)

    await add(`recorded, writer, -1, $4, record, hash, hash`, 4, id)
    expect(await fault()).toMatchObject({ of: 'record', is: 'inserted', writer, sequence: -1, id })
    await sql('delete from audit_log where clinic_id = $1 and id = $2', id)
    expect(await fault()).toBeUndefined()
  })

  test('that was inserted before the one whose place it takes: the record after them tells', async () => {
    const { record, previous } = await row(writer, 2)
    const forged = {
      clinicId,
      writer,
      sequence: 2,
      id: randomUUID(),
      recorded: '2025-01-01T00:00:00.000Z',
    }
    await service.sql(
      `insert into audit_log (clinic_id, writer, sequence, id, recorded, record, previous, hash)
      values ($1, $2, $3, $4, $5, $6, $7, $8)`,
      [...Object.values(forged), record, previous, chainHash(previous, { ...forged, record })],
    )

    expect(await fault()).toMatchObject({ writer, sequence: 2, id: forged.id })
  })

  test('the first of two that were swapped', async () => {
    const [two, three] = [await row(writer, 2), await row(writer, 3)]
    const move = (id: string, sequence: number) =>
      sql('update audit_log set sequence = $3 where clinic_id = $1 and id = $2', id, sequence)
    await move(two.id, 9)
    await move(three.id, 2)
    await move(two.id, 3)

    expect(await fault()).toMatchObject({
      of: 'record',
      is: 'altered',
      writer,
      sequence: 2,
      id: three.id,
    })
  })

  test('the first of a chain that was moved to another clinic', async () => {
    const home = clinicId
    const away = randomUUID()
    await service.sql('update audit_log set clinic_id = $2 where clinic_id = $1', [home, away])
    await service.sql('update audit_writers set clinic_id = $2 where clinic_id = $1', [home, away])

    clinicId = away
    expect(await fault()).toMatchObject({ of: 'record', is: 'altered', sequence: 1 })
  })

  test('whose AuditEvent was changed, deleted or invented', async () => {
    const { id } = await row(writer, 2)
    const EVENT = `clinic_id = $1 and type = 'AuditEvent' and id = $2`
    await sql(
      `update resources set body = replace(body, 'an-invented', 'another') where ${EVENT}`,
      id,
    )
    expect(await fault()).toMatchObject({ of: 'event', is: 'altered', writer, sequence: 2, id })
    await sql(`delete from resources where ${EVENT}`, id)
    expect(await fault()).toMatchObject({ of: 'event', is: 'missing', writer, sequence: 2, id })
  })
})

describe('a checkpoint that was touched is named', () => {
  beforeEach(async () => {
    clinicId = randomUUID()
    for (let n = 0; n < 3; n += 1) {
      await log(2)
      await seal()
    }
  })

  const fault = async () => (await verify()).fault
  const update = (number: number, change: string) =>
    service.sql(`update audit_checkpoints set ${change} where clinic_id = $1 and number = $2`, [
      clinicId,
      number,
    ])

  test.each([
    ['says something else', `payload = replace(payload, '"treeSize":2', '"treeSize":3')`],
    ['says nothing', `payload = ''`],
    ['is signed by nobody', `signature = 'a..b'`],
    ['is of another time', `taken_at = taken_at + interval '1 hour'`],
  ])('that %s', async (_, change) => {
    await update(2, change)

    expect(await fault()).toMatchObject({ of: 'checkpoint', is: 'altered', checkpoint: 2 })
  })

  test('that was deleted: in the middle, and the last', async () => {
    const remove = (number: number) =>
      service.sql('delete from audit_checkpoints where clinic_id = $1 and number = $2', [
        clinicId,
        number,
      ])
    await remove(3)
    expect(await fault()).toMatchObject({ of: 'checkpoint', is: 'missing', checkpoint: 3 })
    await remove(1)
    expect(await fault()).toMatchObject({ of: 'checkpoint', is: 'missing', checkpoint: 1 })
  })

  test('that took the signed text of another, or of another clinic', async () => {
    await service.sql(
      `update audit_checkpoints c set payload = o.payload, signature = o.signature
      from audit_checkpoints o where c.clinic_id = $1 and c.number = 2
        and o.clinic_id = c.clinic_id and o.number = 1`,
      [clinicId],
    )

    expect(await fault()).toMatchObject({ of: 'checkpoint', is: 'altered', checkpoint: 2 })
  })

  test('whose root is another, though one who has the key signed it', async () => {
    const [last] = await service.sql<{ payload: string }>(
      'select payload from audit_checkpoints where clinic_id = $1 and number = 3',
      [clinicId],
    )
    const read = readCheckpoint(last?.payload ?? '')
    if (read === undefined) throw new Error('It can be read')
    const payload = checkpointText({ ...read, rootHash: '0f'.repeat(32) })
    await service.sql(
      `update audit_checkpoints set payload = $2, signature = $3 where clinic_id = $1 and number = 3`,
      [clinicId, payload, await context().checkpointKeys.sign(payload)],
    )

    expect(await fault()).toMatchObject({ of: 'checkpoint', is: 'altered', checkpoint: 3 })
  })

  test('of which a range is stored otherwise, or one more', async () => {
    const insert = `insert into audit_ranges (clinic_id, writer, first, last, number, head)
      select clinic_id, gen_random_uuid(), 1, 2, 3, head from audit_ranges
      where clinic_id = $1 and number = 3`
    await service.sql(insert, [clinicId])
    expect(await fault()).toMatchObject({ of: 'checkpoint', is: 'inserted', checkpoint: 3 })
    await service.sql('update audit_ranges set first = 2 where clinic_id = $1 and number = 2', [
      clinicId,
    ])
    expect(await fault()).toMatchObject({ of: 'checkpoint', is: 'altered', checkpoint: 2 })
  })
})

describe('what was kept long enough may be let go', () => {
  // 45 CFR 164.528: an accounting looks back six years. On 2 March 2026, to 2 March 2020.
  const NOW = '2026-03-02T09:00:00.000Z'
  const oldLog = async (at: string) => {
    clinicId = randomUUID()
    service.clock.set(at)
    const writer = await log(4)
    await seal()
    await project()
    service.clock.set(NOW)
    return writer
  }
  const letGo = (writer: string, upTo: number) =>
    service.sql('delete from audit_log where clinic_id = $1 and writer = $2 and sequence <= $3', [
      clinicId,
      writer,
      upTo,
    ])

  test('the beginning of an old chain, and all of it', async () => {
    const writer = await oldLog('2020-03-01T23:59:59.999Z')
    for (const upTo of [1, 3, 4]) {
      await letGo(writer, upTo)
      expect(await verify()).toMatchObject({ records: 4 - upTo, checkpoints: 1 })
      expect((await verify()).fault).toBeUndefined()
    }
  })

  test('but nothing of a younger one', async () => {
    for (const upTo of [1, 4]) {
      const writer = await oldLog('2020-03-02T00:00:00.000Z')
      await letGo(writer, upTo)
      expect((await verify()).fault).toMatchObject({ is: 'missing', writer, sequence: 1 })
    }
  })

  test('and what is left of an old one is as it was', async () => {
    const writer = await oldLog('2020-01-31T23:59:59.000Z')
    await letGo(writer, 1)
    await service.sql(`delete from audit_log where ${AT}`, [clinicId, writer, 3])
    expect((await verify()).fault).toMatchObject({ is: 'missing', writer, sequence: 3 })

    const other = await oldLog('2020-01-31T23:59:59.000Z')
    await letGo(other, 1)
    await service.sql(`update audit_log set record = record || ' ' where ${AT}`, [
      clinicId,
      other,
      2,
    ])
    expect((await verify()).fault).toMatchObject({ is: 'altered', writer: other, sequence: 2 })
  })
})

describe('no checkpoint covers what does not follow', () => {
  test('a chain with a gap is covered up to the gap, the others wholly', async () => {
    clinicId = randomUUID()
    const broken = await log(3)
    await log(2)
    await service.sql(`delete from audit_log where ${AT}`, [clinicId, broken, 2])
    await seal()

    const ranges = await service.sql(
      `select last::int, writer = $2 as broken from audit_ranges where clinic_id = $1 order by last`,
      [clinicId, broken],
    )
    expect(ranges).toEqual([
      { last: 1, broken: true },
      { last: 2, broken: false },
    ])
  })
})

describe('the role of the service', () => {
  test('cannot change, delete or empty anything of the log', async () => {
    const granted = await service.sql<{ table_name: string; privilege_type: string }>(
      `select table_name, privilege_type from information_schema.role_table_grants
      where grantee in ('app_service', 'PUBLIC') and table_name like 'audit%'
      order by 1, 2`,
    )

    expect(granted.map((one) => `${one.table_name} ${one.privilege_type}`)).toEqual([
      'audit_checkpoints INSERT',
      'audit_checkpoints SELECT',
      'audit_log INSERT',
      'audit_log SELECT',
      'audit_ranges INSERT',
      'audit_ranges SELECT',
      'audit_writers INSERT',
      'audit_writers SELECT',
    ])
    for (const table of ['audit_log', 'audit_checkpoints', 'audit_ranges'])
      for (const text of [
        `update ${table} set clinic_id = clinic_id`,
        `delete from ${table}`,
        `truncate ${table}`,
      ])
        await expect(
          service.service.context.db.inClinic({ clinicId: randomUUID() }, (tx) =>
            tx.query({ text }),
          ),
          text,
        ).rejects.toMatchObject({ code: '42501' })
  })
})
