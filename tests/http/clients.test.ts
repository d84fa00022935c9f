import { randomUUID } from 'node:crypto'
import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { addClient, changeKeys } from '../../src/services/client-command.ts'
import { ask, assertionOf, type ClientKeys, formOf, newKeys } from '../helpers/assertions.ts'
import {
  type Answer,
  expressions,
  START,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// Which systems may call: for staff with the scope `admin`, and for the operator's command.

let service: TestService
let admin: Who
let staff: Who
let partner: Who
let stranger: Who
let keys: ClientKeys
const nowS = Math.floor(Date.parse(START) / 1000)

const Client = z.object({ clientId: z.string(), keyIds: z.array(z.string()) })
const clientIn = ({ json }: Answer) => Client.parse(json)
const Listed = z.object({ clients: z.array(Client.extend({ revokedAt: z.string().optional() })) })

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner } = await service.clinic())
  admin = await service.who({
    clinicId: staff.clinicId,
    clientId: 'administration',
    scope: 'system/Patient.rs admin',
  })
  stranger = await service.who({ clinicId: randomUUID(), scope: 'system/*.rs admin' })
  keys = await newKeys()
  return service.close
})

const post = (who: Who | undefined, body: unknown) =>
  service.send(who, { method: 'POST', url: '/admin/clients', body })
const asked = (changed: Readonly<Record<string, unknown>> = {}) => ({
  name: 'A records system (invented)',
  partnerId: partner.partnerId,
  scope: 'system/Patient.rs',
  jwks: { keys: [keys.publicJwk] },
  ...changed,
})
const tokenStatus = async (clientId: string, with_ = keys) =>
  (await ask(service, formOf(await assertionOf({ clientId }, with_, { nowS })))).status

test('a system that is registered gets tokens and sees its partner, until it is revoked', async () => {
  const made = await post(admin, asked())
  const { clientId, keyIds } = clientIn(made)
  expect(made.status).toBe(201)
  expect(made.headers['location']).toBe(`/admin/clients/${clientId}`)
  expect(keyIds).toEqual([keys.keyId])
  expect(await tokenStatus(clientId)).toBe(200)

  const url = `/admin/clients/${clientId}`
  expect((await service.send(admin, { url })).json).toMatchObject({
    clientId,
    partnerId: partner.partnerId,
    scope: 'system/Patient.rs',
  })
  expect((await service.send(admin, { method: 'DELETE', url })).status).toBe(204)
  expect((await service.send(admin, { method: 'DELETE', url })).status).toBe(204)
  expect(await tokenStatus(clientId)).toBe(400)
  const { clients } = Listed.parse((await service.send(admin, { url: '/admin/clients' })).json)
  expect(clients.find((one) => one.clientId === clientId)?.revokedAt).toBe('2026-03-02T09:00:00Z')
})

test('no answer holds a key, and what is kept of a set is its public keys', async () => {
  const { clientId } = clientIn(
    await post(
      admin,
      asked({ jwks: { keys: [{ ...keys.publicJwk, 'x5t#S256': 'extra' }], a: 'b' } }),
    ),
  )
  const shown = await service.send(admin, { url: '/admin/clients' })
  const [kept] = await service.sql<{ jwks: string }>(
    'select jwks from clients where client_id = $1',
    [clientId],
  )

  expect(shown.text).not.toContain(String(keys.publicJwk.x))
  expect(kept?.jwks).not.toContain('extra')
  expect(kept?.jwks).toContain(String(keys.publicJwk.x))
})

test('nobody else may: a partner, staff without the scope, a caller without a token', async () => {
  const grasping = await service.who({
    clinicId: partner.clinicId,
    partnerId: partner.partnerId ?? '',
    clientId: 'grasping',
    scope: 'system/*.cruds admin',
  })
  for (const who of [staff, partner, grasping, undefined]) {
    const status = who === undefined ? 401 : 403
    const url = `/admin/clients/${admin.clientId}`
    expect((await post(who, asked())).status).toBe(status)
    expect((await service.send(who, { url: '/admin/clients' })).status).toBe(status)
    expect((await service.send(who, { url })).status).toBe(status)
    expect((await service.send(who, { method: 'DELETE', url })).status).toBe(status)
  }
  expect((await service.send(admin, { url: '/admin/clients' })).status).toBe(200)
})

test('an administrator of another clinic neither sees a client nor revokes it', async () => {
  const { clientId } = clientIn(await post(admin, asked()))
  const url = `/admin/clients/${clientId}`
  const listed = await service.send(stranger, { url: '/admin/clients' })

  expect(listed.text).not.toContain(clientId)
  for (const method of ['GET', 'DELETE'] as const) {
    const there = await service.send(stranger, { method, url })
    const absent = await service.send(stranger, { method, url: `/admin/clients/${randomUUID()}` })
    expect([there.status, there.text]).toEqual([404, absent.text])
  }
  expect(await tokenStatus(clientId)).toBe(200)
  const foreign = await post(stranger, asked())
  expect([foreign.status, expressions(foreign)]).toEqual([400, ['partnerId']])
})

test.each<[string, Record<string, unknown>, string[]]>([
  ['without a name', { name: undefined }, ['name']],
  ['with an empty name', { name: '  ' }, ['name']],
  ['whose name holds a NUL', { name: 'a\u0000' }, ['name']],
  ['with a partner that is no id', { partnerId: 'a' }, ['partnerId']],
  ['with a scope that is none', { scope: 'everything' }, ['scope']],
  ['with a scope restricted by a search', { scope: 'system/Patient.rs?_id=1' }, ['scope']],
  ['of a partner that would administer', { scope: 'system/Patient.rs admin' }, ['scope']],
  ['without keys', { jwks: undefined }, ['jwks']],
  ['with an empty set of keys', { jwks: { keys: [] } }, ['jwks']],
  ['with keys and an address', { jwksUrl: 'https://keys.example/jwks' }, ['jwks']],
  ['with keys on this machine', { jwks: undefined, jwksUrl: 'https://127.0.0.1/a' }, ['jwksUrl']],
  ['with keys over HTTP', { jwks: undefined, jwksUrl: 'http://keys.example/a' }, ['jwksUrl']],
  ['with something more', { secret: 'a' }, ['registration']],
  ['with two faults', { scope: 'x', jwks: { keys: [] } }, ['scope', 'jwks']],
])('a registration %s is refused', async (_title, changed, where) => {
  const answer = await post(admin, asked(changed))

  expect([answer.status, expressions(answer)]).toEqual([400, where])
})

test('a private key is refused and not kept', async () => {
  const answer = await post(
    admin,
    asked({ jwks: { keys: [{ ...keys.publicJwk, d: 'secret-d' }] } }),
  )

  expect(answer.status).toBe(400)
  expect(answer.text).not.toContain('secret-d')
  expect(await service.sql(`select 1 from clients where jwks like '%secret-d%'`)).toEqual([])
})

test('what is no JSON object is refused', async () => {
  for (const body of ['', '[]', '"a"', '{', 'null'])
    expect((await post(admin, body)).status, body).toBe(400)
})

test('registration and revocation are in the log, with the client they were about', async () => {
  const { clientId } = clientIn(await post(admin, asked()))
  await service.send(admin, { method: 'DELETE', url: `/admin/clients/${clientId}` })
  const logged = await service.sql<{ found: string }>(
    `select record::text as found from audit_log where record::text like '%' || $1 || '%'`,
    [`Device/${clientId}`],
  )

  expect(logged.map(({ found }) => /"did": ?"(\w+)"/.exec(found)?.[1])).toEqual([
    'created',
    'deleted',
  ])
})

test('the command registers a client with a new partner and changes its keys', async () => {
  const { clinicId } = staff
  await service.sql(`insert into clinics values ($1, 'A clinic', now()) on conflict do nothing`, [
    clinicId,
  ])
  const context = {
    db: service.service.context.db,
    now: () => new Date(START),
    newId: randomUUID,
    origins: [],
  }
  const given = {
    clinic: clinicId,
    name: 'Records (invented)',
    scope: 'system/*.rs',
    jwks: { keys: [keys.publicJwk] },
  }
  const clientId = await addClient(context, {
    ...given,
    'new-partner': 'New practice (invented)',
    regime: 'ferpa',
  })
  expect(await tokenStatus(clientId)).toBe(200)
  expect(
    await service.sql(
      `select p.name, p.regime from clients c join partners p using (clinic_id, partner_id)
      where client_id = $1`,
      [clientId],
    ),
  ).toEqual([{ name: 'New practice (invented)', regime: 'ferpa' }])

  const next = await newKeys('RS384')
  const changed = { clinicId, clientId, jwks: { keys: [next.publicJwk] } }
  expect(await changeKeys(context, changed)).toBe(true)
  expect(await changeKeys(context, { ...changed, clinicId: randomUUID() })).toBe(false)
  expect([await tokenStatus(clientId), await tokenStatus(clientId, next)]).toEqual([400, 200])
  for (const wrong of [{ clinic: randomUUID() }, { partner: randomUUID() }, { clinic: 'a' }])
    await expect(addClient(context, { ...given, ...wrong })).rejects.toThrow(/clinic/i)
})
