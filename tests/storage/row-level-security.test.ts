import { randomUUID } from 'node:crypto'
import { beforeAll, describe, expect, test } from 'vitest'
import { searchValues } from '../../src/fhir/search-values.ts'
import { insertVersions } from '../../src/storage/resource-writes.ts'
import {
  bundleOf,
  coded,
  changed,
  identifierOf,
  observed,
  type Parts,
  referralParts,
  smallReferral,
  withPart,
} from '../helpers/referral.ts'
import {
  type Answer,
  BASE,
  bundle,
  expressions,
  kept,
  resource,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

let service: TestService
/** Whose child it is, another partner of the clinic, and a second clinic. */
let staff: Who
let partner: Who
let other: Who
let stranger: Who
let strangersPartner: Who
let places: string[]
const parts: Parts = referralParts({ key: 'walls' })

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner, other } = await service.clinic())
  ;({ staff: stranger, partner: strangersPartner } = await service.clinic())
  places = kept(await service.refer(partner, parts))
  return service.close
})

const place = (name: string) => places[[...parts.keys()].indexOf(name)] ?? ''
const outsiders = (): readonly [string, Who][] => [
  ['another partner of the clinic', other],
  ['the staff of another clinic', stranger],
  ['a partner of another clinic', strangersPartner],
]
/** Everything but the id that was asked for and the request's own time. */
const shape = ({ status, headers, text }: Answer, id: string) => ({
  status,
  headers: Object.fromEntries(
    Object.entries(headers).filter(([name]) => name !== 'date' && name !== 'x-request-id'),
  ),
  text: text.replaceAll(id, 'ID'),
})

describe('over HTTP', () => {
  test('a search finds nothing of others, whatever is asked', async () => {
    const patient = place('patient')
    const queries = [
      'Patient',
      'Patient?family=musterkind',
      `Patient?_id=${patient.split('/')[1]}`,
      `Patient?identifier=https://practice.example/ids|walls-patient`,
      'Patient?birthdate=2024-02-01',
      `Observation?patient=${patient}`,
      'Observation?code=walking-alone',
      'Observation?_lastUpdated=ge2000',
      'Task',
      'Provenance',
      'RiskAssessment',
      'ServiceRequest?status=active',
    ]

    for (const [who, caller] of outsiders())
      for (const query of queries) {
        const answer = await service.send(caller, { url: `/fhir/${query}` })
        const counted = await service.send(caller, {
          url: `/fhir/${query}${query.includes('?') ? '&' : '?'}_count=0`,
        })

        expect(resources(answer), `${who} ${query}`).toEqual([])
        expect(bundle(answer).total, `${who} ${query}`).toBe(0)
        expect(bundle(counted).total, `${who} ${query}`).toBe(0)
      }
  })

  test('the partner sees its compartment and staff the whole clinic', async () => {
    const clinicOnly = await service.send(staff, {
      method: 'POST',
      url: '/fhir/Observation',
      body: {
        ...observed('open-skin', '2026-03-01', { valueBoolean: false }),
        subject: { reference: place('patient') },
        bodySite: {
          coding: [{ system: 'https://footing.example/fhir/CodeSystem/side', code: 'left-foot' }],
        },
      },
    })
    const id = String(resource(clinicOnly)['id'])
    const url = `/fhir/Observation?patient=${place('patient')}&code=open-skin`

    expect(clinicOnly.status).toBe(201)
    expect(bundle(await service.send(staff, { url })).total).toBe(3)
    expect(bundle(await service.send(partner, { url })).total).toBe(2)
    expect((await service.send(partner, { url: `/fhir/Observation/${id}` })).status).toBe(404)
    expect((await service.send(staff, { url: `/fhir/${place('patient')}` })).status).toBe(200)
  })

  test('a conditional create does not find what others have', async () => {
    for (const [who, caller] of outsiders()) {
      const answer = await service.send(caller, {
        method: 'POST',
        url: '/fhir/Patient',
        body: parts.get('patient')?.resource,
        headers: { 'if-none-exist': 'identifier=https://practice.example/ids|walls-patient' },
      })

      expect(answer.status, who).toBe(201)
      expect(answer.headers['location'], who).not.toContain(place('patient'))
    }
  })

  test('the same referral from others is another referral of another child', async () => {
    for (const [who, caller] of outsiders()) {
      const again = kept(await service.refer(caller, referralParts({ key: `own-${who.length}` })))

      expect(
        again.filter((one) => places.includes(one)),
        who,
      ).toEqual([])
    }
  })

  test.each(['Patient/ID', `${BASE}/Patient/ID`, 'Patient/ID/_history/1'])(
    'the reference %s to the child of somebody else is refused as one to nobody',
    async (form) => {
      const id = place('patient').split('/')[1] ?? ''
      const nobody = randomUUID()
      const naming = (target: string): Parts =>
        changed(smallReferral({ key: `steal-${form.length}` }), 'referral', {
          subject: { reference: form.replace('ID', target) },
        })

      for (const [who, caller] of outsiders()) {
        const sent = (target: string) =>
          service.send(caller, { method: 'POST', url: '/fhir', body: bundleOf(naming(target)) })
        const there = await sent(id)
        const absent = await sent(nobody)

        expect([there.status, expressions(there)], who).toEqual([
          422,
          ['Bundle.entry[1].resource.subject.reference'],
        ])
        expect(shape(there, id), who).toEqual(shape(absent, nobody))
      }
    },
  )

  test('a child named below a foreign base is refused: it is not the child of somebody else', async () => {
    const foreign = `https://other.example/fhir/${place('patient')}`
    const { requester, insurance, supportingInfo, ...request } =
      parts.get('referral')?.resource ?? {}
    const before = await service.sql('select 1 from resource_versions')

    const sent = await service.send(other, {
      method: 'POST',
      url: '/fhir',
      body: bundleOf(
        withPart(new Map(), 'foreign', {
          ...request,
          identifier: [identifierOf('foreign', 'referral')],
          subject: { reference: foreign },
        }),
      ),
    })

    expect([sent.status, expressions(sent)]).toEqual([
      422,
      ['Bundle.entry[0].resource.subject.reference'],
    ])
    expect(await service.sql('select 1 from resource_versions')).toHaveLength(before.length)
  })

  test('a fact sent under a foreign base is refused: it would count for nobody', async () => {
    const made = await service.send(other, {
      method: 'POST',
      url: '/fhir/Observation',
      body: {
        ...observed('open-skin', '2026-03-02', { valueBoolean: true }),
        bodySite: coded('side', 'left-foot'),
        subject: { reference: `https://other.example/fhir/${place('patient')}` },
      },
    })

    expect([made.status, expressions(made)]).toEqual([422, ['Observation.subject.reference']])
  })

  test('an idempotency key of others is free', async () => {
    const headers = { 'idempotency-key': 'shared-key' }
    const send = (caller: Who, key: string) =>
      service.send(caller, {
        method: 'POST',
        url: '/fhir',
        headers,
        body: bundleOf(smallReferral({ key })),
      })
    const mine = await send(partner, 'key-mine')

    for (const [who, caller] of outsiders()) {
      const theirs = await send(caller, `key-${who.length}`)
      expect(theirs.status, who).toBe(200)
      expect(theirs.headers['idempotent-replayed'], who).toBeUndefined()
      expect(kept(theirs), who).not.toEqual(kept(mine))
    }
  })

  test('a cursor of others leads nowhere', async () => {
    const page = await service.send(partner, { url: '/fhir/Observation?_count=1' })
    const next = bundle(page).link?.find(({ relation }) => relation === 'next')?.url ?? ''

    for (const [who, caller] of outsiders()) {
      const answer = await service.send(caller, { url: next.replace(BASE, '/fhir') })
      expect([answer.status, expressions(answer)], who).toEqual([400, ['http._cursor']])
    }
  })
})

const HEALTH = [
  'closed_records',
  'idempotent_answers',
  'index_dates',
  'index_pairs',
  'index_quantities',
  'index_references',
  'index_strings',
  'index_tokens',
  'index_uris',
  'resource_versions',
  'resources',
]
/** The log, in its parts by month; the parts are reached through it alone. */
const LOG = ['audit_checkpoints', 'audit_log', 'audit_ranges', 'audit_writers']
const LOG_PARTS = ['audit_log_2026_03', 'audit_log_2026_04', 'audit_log_2026_05', 'audit_log_other']
/** Names and settings of clinics and of whoever may call; no health data. */
const REGISTERED = [
  'advice_feedback',
  'clients',
  'clinics',
  'exports',
  'index_states',
  'partners',
  'staff_accounts',
  'staff_sessions',
  'subscription_events',
  'subscription_states',
  'used_assertions',
  'watched_types',
  'written_versions',
]
/** Belong to the service as a whole: no clinic, and nothing for app_service. */
const OF_THE_SERVICE = ['audit_keys', 'signing_keys']

describe('in the database itself', () => {
  test('every table has row-level security, forced where it holds health data', async () => {
    const tables = await service.sql<{ name: string; enabled: boolean; forced: boolean }>(
      `select relname as name, relrowsecurity as enabled, relforcerowsecurity as forced
      from pg_class where relkind in ('r', 'p') and relnamespace = 'public'::regnamespace
      order by relname`,
    )

    expect(tables).toEqual(
      [...HEALTH, ...LOG, ...LOG_PARTS, ...REGISTERED, ...OF_THE_SERVICE]
        .toSorted()
        .map((name) => ({ name, enabled: true, forced: HEALTH.includes(name) })),
    )
  })

  test('every table of a clinic has a policy on the clinic, and on the partner where it has one', async () => {
    const policies = await service.sql<{
      name: string
      partner: boolean
      body: string
      roles: string
    }>(
      `select c.relname as name,
        coalesce(pg_get_expr(p.polqual, p.polrelid), pg_get_expr(p.polwithcheck, p.polrelid)) as body,
        array_to_string(array(select rolname from pg_roles where oid = any(p.polroles)), ',') as roles,
        exists (select 1 from pg_attribute a where a.attrelid = c.oid and a.attname = 'partner_id')
          as partner
      from pg_class c left join pg_policy p on p.polrelid = c.oid and p.polpermissive
      where exists (select 1 from pg_attribute a where a.attrelid = c.oid and a.attname = 'clinic_id')
        and c.relkind in ('r', 'p') and not c.relispartition
        and c.relnamespace = 'public'::regnamespace order by 1`,
    )

    // What only takes away from them is not among them.
    // Two on the log: everybody adds to it, the clinic's staff alone read it.
    expect([...new Set(policies.map(({ name }) => name))]).toEqual(
      [...HEALTH, ...LOG, ...REGISTERED].toSorted(),
    )
    for (const { name, partner: hasPartner, body, roles } of policies) {
      expect(body, name).toContain("clinic_id = (NULLIF(current_setting('app.clinic'")
      if (hasPartner)
        expect(body, name).toMatch(/partner_id = \((?:NULLIF\()?current_setting\('app.partner'/)
      expect(roles, name).toBe('app_service')
    }
  })

  test('app_service owns two functions, which enter the scope that they are told, and nobody else may call them', async () => {
    const functions = await service.sql<{ name: string; open: boolean; definer: boolean }>(
      `select proname as name, prosecdef as definer, exists (
          select 1 from aclexplode(proacl) where grantee = 0 and privilege_type = 'EXECUTE') as open
        from pg_proc where proowner = 'app_service'::regrole order by proname`,
    )
    const [schema] = await service.sql<{ creates: boolean }>(
      `select has_schema_privilege('app_service', 'public', 'create') as creates`,
    )

    expect(functions).toEqual([
      { name: 'append_audit', open: false, definer: true },
      { name: 'read_resource', open: false, definer: true },
    ])
    expect(schema).toEqual({ creates: false })
  })

  test('app_service owns no table and is above no policy', async () => {
    const [role] = await service.sql<{ rolsuper: boolean; rolbypassrls: boolean; owns: number }>(
      `select rolsuper, rolbypassrls, rolcanlogin, rolcreaterole, rolcreatedb,
        (select count(*) from pg_class where relowner = r.oid)::int as owns
      from pg_roles r where rolname = 'app_service'`,
    )

    expect(role).toEqual({
      rolsuper: false,
      rolbypassrls: false,
      rolcanlogin: false,
      rolcreaterole: false,
      rolcreatedb: false,
      owns: 0,
    })
  })

  test('app_service may do what is listed and nothing else', async () => {
    const grants = await service.sql<{ name: string; may: string }>(
      `select table_name as name, string_agg(privilege_type, ' ' order by privilege_type) as may
      from information_schema.role_table_grants
      where grantee in ('app_service', 'PUBLIC') and table_schema = 'public' group by 1 order by 1`,
    )

    expect(Object.fromEntries(grants.map(({ name, may }) => [name, may]))).toEqual({
      audit_checkpoints: 'INSERT SELECT',
      audit_log: 'INSERT SELECT',
      audit_ranges: 'INSERT SELECT',
      audit_writers: 'INSERT SELECT',
      clients: 'INSERT SELECT',
      clinics: 'SELECT',
      closed_records: 'DELETE INSERT SELECT',
      exports: 'DELETE INSERT SELECT',
      idempotent_answers: 'INSERT SELECT',
      partners: 'SELECT',
      index_dates: 'DELETE INSERT SELECT',
      index_pairs: 'DELETE INSERT SELECT',
      index_quantities: 'DELETE INSERT SELECT',
      index_references: 'DELETE INSERT SELECT',
      index_strings: 'DELETE INSERT SELECT',
      index_tokens: 'DELETE INSERT SELECT',
      index_uris: 'DELETE INSERT SELECT',
      index_states: 'INSERT SELECT UPDATE',
      resource_versions: 'INSERT SELECT',
      resources: 'INSERT SELECT UPDATE',
      advice_feedback: 'INSERT SELECT',
      staff_sessions: 'DELETE INSERT SELECT UPDATE',
      subscription_events: 'DELETE INSERT SELECT',
      subscription_states: 'DELETE INSERT SELECT UPDATE',
      used_assertions: 'DELETE INSERT SELECT',
      watched_types: 'INSERT SELECT',
      written_versions: 'DELETE INSERT SELECT',
    })
    expect(
      await service.sql(
        `select column_name as name from information_schema.role_column_grants
        where grantee = 'app_service' and table_name = 'clients' and privilege_type = 'UPDATE'
        order by 1`,
      ),
    ).toEqual([{ name: 'jwks' }, { name: 'jwks_url' }, { name: 'revoked_at' }])
  })

  test('every index begins with the clinic', async () => {
    const indexes = await service.sql<{ table: string; first: string }>(
      `select c.relname as table, a.attname as first
      from pg_index i join pg_class c on c.oid = i.indrelid
        join pg_attribute a on a.attrelid = c.oid and a.attnum = i.indkey[0]
      where c.relnamespace = 'public'::regnamespace`,
    )

    expect(indexes.length).toBeGreaterThan(15)
    expect(
      indexes.filter(
        ({ table, first }) => first !== 'clinic_id' && !OF_THE_SERVICE.includes(table),
      ),
    ).toEqual([])
  })

  test('outside a scope there is not a row', async () => {
    for (const table of [...HEALTH, ...LOG, ...REGISTERED]) {
      const [row] = await service.service.context.db.asOwner(async (tx) => {
        await tx.query({ text: 'set local role app_service' })
        return tx.query<{ count: number }>({ text: `select count(*)::int as count from ${table}` })
      })
      expect(row?.count, table).toBe(0)
    }
  })

  test('no row can be written for another clinic or partner', async () => {
    const scope = { clinicId: partner.clinicId, partnerId: partner.partnerId ?? '' }
    const version = (partnerId: string | undefined) => ({
      type: 'Organization',
      id: randomUUID(),
      version: 1,
      partnerId,
      deleted: false,
      body: '{}',
      updatedAt: '2026-03-02T09:00:00Z',
      search: searchValues({ type: 'Organization', id: 'a', baseUrl: BASE }, {}),
    })
    const write = (clinicId: string, partnerId: string | undefined) =>
      service.service.context.db.inClinic(scope, (tx) =>
        insertVersions(tx, clinicId, [version(partnerId)]),
      )

    await expect(write(scope.clinicId, scope.partnerId)).resolves.toBeUndefined()
    for (const [clinicId, partnerId] of [
      [stranger.clinicId, scope.partnerId],
      [scope.clinicId, other.partnerId],
      [scope.clinicId, undefined],
    ] as const)
      await expect(write(clinicId, partnerId)).rejects.toMatchObject({ code: '42501' })
  })

  test('a partner neither registers nor changes a client, and no clinic sees the keys of another', async () => {
    const { clinicId } = stranger
    const ofPartner = { clinicId, partnerId: strangersPartner.partnerId ?? '' }
    const { db } = service.service.context
    const add = (scope: { clinicId: string; partnerId?: string }, id: string) =>
      db.inClinic(scope, (tx) =>
        tx.query({
          text: `insert into clients (clinic_id, client_id, partner_id, name, scope, created_at, jwks)
            values ($1, $2, $3, 'Keys', 'system/*.rs', now(), '{"keys":[]}')`,
          values: [clinicId, id, strangersPartner.partnerId],
        }),
      )
    const revoke = { text: `update clients set revoked_at = now() where client_id = 'with-keys'` }
    const keys = { text: `select jwks from clients where client_id = 'with-keys'` }

    await expect(add(ofPartner, 'own')).rejects.toMatchObject({ code: '42501' })
    await expect(add({ clinicId: staff.clinicId }, 'foreign')).rejects.toMatchObject({
      code: '42501',
    })
    await add({ clinicId }, 'with-keys')
    await expect(db.inClinic(ofPartner, (tx) => tx.query(revoke))).rejects.toMatchObject({
      code: '42501',
    })
    for (const scope of [ofPartner, { clinicId }])
      expect(await db.inClinic(scope, (tx) => tx.query(keys))).toHaveLength(1)
    for (const scope of [
      { clinicId: staff.clinicId },
      { clinicId, partnerId: partner.partnerId ?? '' },
    ])
      expect(await db.inClinic(scope, (tx) => tx.query(keys))).toEqual([])
    await service.sql(`delete from clients where client_id = 'with-keys'`)
  })

  test('a version that is written can be neither changed nor removed', async () => {
    const scope = { clinicId: staff.clinicId }
    for (const text of [
      `update resource_versions set body = ''`,
      'delete from resource_versions',
      'truncate resource_versions',
      'delete from resources',
    ])
      await expect(
        service.service.context.db.inClinic(scope, (tx) => tx.query({ text })),
      ).rejects.toMatchObject({ code: '42501' })
  })

  test('a partner sees its own client and itself, not that there are others', async () => {
    const { clinicId } = staff
    await service.sql(
      `with clinic as (insert into clinics values ($1, 'A clinic', now())),
        partner as (update partners set name = case partner_id when $2 then 'One' else 'Two' end
          where clinic_id = $1 and partner_id in ($2, $3))
      insert into clients values ($1, 'a', $2, 'One', 'x', now()), ($1, 'b', $3, 'Two', 'x', now()),
        ($1, 'c', null, 'Staff', 'x', now())`,
      [clinicId, partner.partnerId, other.partnerId],
    )
    // Beside them are the systems of those who called before: a clinic's three, a partner's one.
    const names = (scope: { clinicId: string; partnerId?: string }) =>
      service.service.context.db.inClinic(scope, (tx) =>
        tx.query<{ name: string }>({
          text: 'select name from partners union all select name from clients order by 1',
        }),
      )

    expect(
      (await names({ clinicId, partnerId: partner.partnerId ?? '' })).map((row) => row.name),
    ).toEqual(['An invented system', 'One', 'One'])
    expect(await names({ clinicId })).toHaveLength(8)
    expect((await names({ clinicId: stranger.clinicId })).map((row) => row.name)).toEqual([
      'An invented partner',
      'An invented partner',
      ...Array.from({ length: 3 }, () => 'An invented system'),
    ])
  })
})
