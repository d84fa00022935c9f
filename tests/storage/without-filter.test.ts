import { beforeAll, describe, expect, test } from 'vitest'
import { parseQuery } from '../../src/fhir/query.ts'
import { rowOf } from '../../src/fhir/registry.ts'
import { type Database, openDatabase, type Scope } from '../../src/storage/database.ts'
import {
  readResource,
  readVersion,
  resourceCall,
  type StoredRow,
} from '../../src/storage/resources.ts'
import { searchPage } from '../../src/storage/search.ts'
import { Dice } from '../helpers/any-request.ts'
import { type Compartment, compartments } from '../helpers/compartments.ts'
import { lootOf } from '../helpers/probe-run.ts'
import { BASE, START, type TestService, testService } from '../helpers/service.ts'

// Row-level security alone: what a query shows that names no clinic and no partner, or those of others.

let service: TestService
let everyone: Compartment[]

beforeAll(async () => {
  service = await testService()
  const all = await compartments(service)
  everyone = [all.staff, all.partner, all.otherPartner, all.staffElsewhere, all.partnerElsewhere]
  // An export, a remembered answer and entries of the log in each.
  for (const one of everyone) await lootOf((who, sent) => service.send(who, sent), one)
  return service.close
})

const scopeOf = ({ owner: { clinicId, partnerId } }: Compartment): Scope =>
  partnerId === undefined ? { clinicId } : { clinicId, partnerId }
/** May its owner see what is in the other one? */
const sees = (by: Compartment, other: Compartment): boolean =>
  by === other || (by.owner.clinicId === other.owner.clinicId && by.owner.partnerId === undefined)

interface Table {
  readonly name: string
  readonly partners: boolean
}
const tables = () =>
  service.sql<Table>(
    `select c.relname as name, exists (select 1 from pg_attribute a
        where a.attrelid = c.oid and a.attname = 'partner_id') as partners
      from pg_class c join pg_attribute a on a.attrelid = c.oid and a.attname = 'clinic_id'
      where c.relkind in ('r', 'p') and not c.relispartition
        and c.relnamespace = 'public'::regnamespace order by 1`,
  )

describe('without any filter', () => {
  test('no table shows a row of another clinic or partner', async () => {
    for (const { name, partners } of await tables()) {
      const whose = `clinic_id::text as clinic${partners ? ', partner_id::text as partner' : ''}`
      for (const one of everyone) {
        const { clinicId, partnerId } = one.owner
        const rows = await service.service.context.db.inClinic(scopeOf(one), (tx) =>
          tx.query<{ clinic: string; partner?: string | null }>({
            text: `select distinct ${whose} from ${name}`,
          }),
        )

        expect(
          rows.filter(
            ({ clinic, partner }) =>
              clinic !== clinicId || (partners && partnerId !== undefined && partner !== partnerId),
          ),
          `${name} for ${one.name}`,
        ).toEqual([])
      }
    }
  })

  test('there is something to see: each table of health data holds rows of both clinics', async () => {
    for (const name of ['resources', 'resource_versions', 'index_strings', 'index_tokens'])
      for (const { owner } of everyone)
        expect(
          await service.sql(
            `select 1 from ${name} where clinic_id = $1 and partner_id is not distinct from $2 limit 1`,
            [owner.clinicId, owner.partnerId ?? null],
          ),
          name,
        ).toHaveLength(1)
  })

  test('no body and no value of the index holds a word of another compartment', async () => {
    const columns = [
      ['resources', 'body'],
      ['resource_versions', 'body'],
      ['index_strings', 'exact'],
      ['index_tokens', 'code'],
    ] as const
    for (const by of everyone)
      for (const [table, column] of columns) {
        const found = await service.service.context.db.inClinic(scopeOf(by), (tx) =>
          tx.query<{ canary: string }>({
            text: `select canary from unnest($1::text[]) as w(canary)
              where exists (select 1 from ${table} where ${column} like '%' || canary || '%')`,
            values: [everyone.map(({ canary }) => canary)],
          }),
        )

        expect(found.map(({ canary }) => canary).toSorted(), `${table} for ${by.name}`).toEqual(
          everyone
            .filter((other) => sees(by, other))
            .map(({ canary }) => canary)
            .toSorted(),
        )
      }
  })

  test('reading and searching find nothing where the statement names the clinic of others', async () => {
    const row = rowOf('Patient')
    if (row === undefined) throw new Error('There is no Patient')
    const query = parseQuery(row, [], { handling: 'strict', baseUrl: BASE, now: START })
    const { db } = service.service.context
    for (const by of everyone)
      for (const other of everyone.filter((one) => !sees(by, one))) {
        const { clinicId } = other.owner
        const key = { clinicId, type: 'Patient', id: other.planted.get('Patient')?.id ?? '' }
        const [current, version, page] = await db.inClinic(scopeOf(by), async (tx) => [
          await readResource(tx, key),
          await readVersion(tx, { ...key, version: 1 }),
          await searchPage(tx, { clinicId }, query),
        ])
        const ids = page.found.map(({ id }) => id)

        expect([current, version], `${by.name} after ${other.name}`).toEqual([undefined, undefined])
        expect(ids).not.toContain(key.id)
      }
  })

  test('the function that reads by id finds what its scope sees, in whatever order scopes come', async () => {
    const { db } = service.service.context
    const pairs = everyone.flatMap((by) => everyone.map((other) => ({ by, other })))
    const rounds = Array.from({ length: 20 }, () => pairs).flat()
    const seen = await Promise.all(
      rounds.map(async ({ by, other }) => {
        const id = other.planted.get('Patient')?.id ?? ''
        const rows = await db.callInClinic<StoredRow>(scopeOf(by), resourceCall('Patient', id))
        return rows.map((row) => row.id).join() === (sees(by, other) ? id : '')
      }),
    )

    expect(seen).not.toContain(false)
    expect(pairs.filter(({ by, other }) => sees(by, other)).length).toBeGreaterThan(5)
  })

  test('an owner of the tables that is no superuser sees no health data', async () => {
    const forced = await service.sql<{ name: string }>(
      `select relname as name from pg_class
        where relforcerowsecurity and relnamespace = 'public'::regnamespace`,
    )
    await service.sql('begin')
    try {
      await service.sql('create role plain_owner nologin')
      await service.sql('grant usage, create on schema public to plain_owner')
      for (const { name } of forced) await service.sql(`alter table ${name} owner to plain_owner`)
      await service.sql('set local role plain_owner')
      for (const { name } of forced)
        expect(await service.sql(`select 1 from ${name} limit 1`), name).toEqual([])
    } finally {
      await service.sql('rollback')
    }
    expect(forced.map(({ name }) => name)).toEqual(
      expect.arrayContaining(['resources', 'resource_versions', 'index_strings']),
    )
  })
})

const SETTINGS = `select current_user as role, current_setting('app.clinic', true) as clinic,
  current_setting('app.partner', true) as partner,
  (select count(*)::int from resources where type <> 'AuditEvent') as seen,
  (select count(*)::int from resources
    where clinic_id::text <> current_setting('app.clinic', true)) as foreign_rows`
interface Settings {
  readonly role: string
  readonly clinic: string | null
  readonly partner: string | null
  readonly seen: number
  readonly foreign_rows: number
}

describe('a connection', () => {
  const one = (): Database =>
    openDatabase({ url: service.url, poolSize: 1, statementTimeoutMs: 10_000 })

  test('that was never told a clinic shows nothing, and nothing after one was told and forgotten', async () => {
    const database = one()
    const unset = () =>
      database.asOwner(async (tx) => {
        await tx.query({ text: 'set local role app_service' })
        return tx.query<Settings>({ text: SETTINGS })
      })

    const [fresh] = await unset()
    const [, told] = everyone
    if (told !== undefined)
      await database.inClinic(scopeOf(told), (tx) => tx.query({ text: SETTINGS }))
    const [forgotten] = await unset()
    await database.close()

    expect(fresh).toMatchObject({ clinic: null, partner: null, seen: 0 })
    expect(forgotten).toMatchObject({ clinic: '', partner: '', seen: 0 })
  })

  test('that is told a clinic of another form shows an error: 22P02', async () => {
    await expect(
      service.service.context.db.inClinic({ clinicId: 'x' }, (tx) =>
        tx.query({ text: 'select count(*) from resources' }),
      ),
    ).rejects.toMatchObject({ code: '22P02' })
  })

  test('keeps no scope of the one before over 10,000 requests, failed and cancelled ones among them', async () => {
    const database = openDatabase({ url: service.url, poolSize: 4, statementTimeoutMs: 10_000 })
    const dice = new Dice(5_003)
    const expected = new Map<Compartment, number>()
    for (const by of everyone) {
      const [row] = await database.readInClinic<Settings>(scopeOf(by), { text: SETTINGS })
      expected.set(by, row?.seen ?? 0)
    }
    const wrong: unknown[] = []
    const outcomes = new Map<string, number>()

    const ask = async (): Promise<void> => {
      const by = dice.of(everyone)
      const scope = scopeOf(by)
      const statement = { name: 'settings', text: SETTINGS }
      const kind = dice.of(KINDS)
      const rows = await KIND[kind](database, scope, statement).catch(() => undefined)
      outcomes.set(kind, (outcomes.get(kind) ?? 0) + 1)
      if (rows === undefined) {
        if (['read', 'write', 'snapshot'].includes(kind)) wrong.push([kind, 'failed'])
        return
      }
      const [row] = rows
      if (
        row?.role !== 'app_service' ||
        row.clinic !== scope.clinicId ||
        row.partner !== (scope.partnerId ?? '') ||
        row.seen !== expected.get(by) ||
        row.foreign_rows !== 0
      )
        wrong.push([kind, by.name, row])
    }
    const queue = Array.from({ length: 32 }, async () => {
      for (let count = 0; count < 320; count += 1) await ask()
    })
    await Promise.all(queue)
    await database.close()

    expect(wrong).toEqual([])
    expect([...outcomes.values()].reduce((sum, count) => sum + count, 0)).toBeGreaterThan(10_000)
    expect(outcomes.get('cancelled')).toBeGreaterThan(50)
  }, 240_000)
})

type Ask = (
  database: Database,
  scope: Scope,
  statement: { readonly name: string; readonly text: string },
) => Promise<Settings[]>

const KIND = {
  read: (database, scope, statement) => database.readInClinic<Settings>(scope, statement),
  write: (database, scope, statement) =>
    database.inClinic(scope, (tx) => tx.query<Settings>(statement)),
  failedRead: (database, scope) =>
    database.readInClinic<Settings>(scope, { text: 'select 1 / 0 as role' }),
  snapshot: (database, scope, statement) =>
    database.snapshotInClinic(scope, (tx) => tx.query<Settings>(statement)),
  failed: (database, scope) =>
    database.inClinic(scope, (tx) => tx.query<Settings>({ text: 'select 1 / 0 as role' })),
  thrown: (database, scope) =>
    database.inClinic(scope, async (tx) => {
      await tx.query({ text: `select set_config('app.clinic', gen_random_uuid()::text, true)` })
      throw new Error('given up')
    }),
  cancelled: (database, scope) =>
    database.inClinic(scope, async (tx) => {
      await tx.query({ text: `set local statement_timeout = '2ms'` })
      return tx.query<Settings>({ text: 'select pg_sleep(1)::text as role' })
    }),
} satisfies Record<string, Ask>

/** How often each is chosen. */
const KINDS: readonly (keyof typeof KIND)[] = [
  ...Array.from({ length: 40 }, () => 'read' as const),
  ...Array.from({ length: 40 }, () => 'write' as const),
  ...Array.from({ length: 5 }, () => 'snapshot' as const),
  ...Array.from({ length: 8 }, () => 'failed' as const),
  ...Array.from({ length: 8 }, () => 'failedRead' as const),
  ...Array.from({ length: 6 }, () => 'thrown' as const),
  'cancelled',
]
