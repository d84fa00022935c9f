import { beforeAll, expect, test } from 'vitest'
import { openService, type Service } from '../../src/service.ts'
import { retireSigningKey, rotateSigningKey } from '../../src/services/signing-keys.ts'
import {
  assertionOf,
  type ClientKeys,
  FORM,
  formOf,
  newKeys,
  register,
  type Registered,
} from '../helpers/assertions.ts'
import { ORIGIN, START, type TestService, testService, type Who } from '../helpers/service.ts'
import { randomUUID } from 'node:crypto'
import { z } from 'zod'

// Two services on one database, as two processes are: they share nothing else.

let one: TestService
let two: Service
let staff: Who
let keys: ClientKeys
let client: Registered
let at = Date.parse(START)

const advance = (ms: number) => {
  at += ms
  one.clock.set(new Date(at).toISOString())
}
const now = () => new Date(at)
const made = { newId: randomUUID, now }
const nowS = () => Math.floor(at / 1000)

beforeAll(async () => {
  one = await testService()
  two = await openService({
    databaseUrl: one.url,
    origin: ORIGIN,
    tokenIssuer: undefined,
    tokenLifetimeSeconds: 300,
    poolSize: 6,
    statementTimeoutMs: 10_000,
    answerLanguage: 'en',
    now,
  })
  ;({ staff } = await one.clinic())
  keys = await newKeys()
  client = await register(one, { clinicId: staff.clinicId, jwks: [keys.publicJwk] })
  return async () => {
    await two.close()
    await one.close()
  }
})

const askAt = (service: Service, assertion: string) =>
  service.app.inject({
    method: 'POST',
    url: '/oauth/token',
    headers: FORM,
    payload: new URLSearchParams(formOf(assertion)).toString(),
  })
const tokenFrom = async (service: Service): Promise<string> => {
  const answer = await askAt(service, await assertionOf(client, keys, { nowS: nowS() }))
  return z.object({ access_token: z.string() }).parse(answer.json()).access_token
}
const readAt = async (service: Service, token: string): Promise<number> =>
  (
    await service.app.inject({
      url: '/fhir/Patient',
      headers: { authorization: `Bearer ${token}` },
    })
  ).statusCode
const statuses = (token: string) => Promise.all([readAt(one.service, token), readAt(two, token)])
const published = async (service: Service): Promise<string[]> =>
  z
    .object({ keys: z.array(z.object({ kid: z.string() })) })
    .parse((await service.app.inject({ url: '/oauth/jwks' })).json())
    .keys.map(({ kid }) => kid)
const signerOf = (token: string): string =>
  z
    .object({ kid: z.string() })
    .parse(JSON.parse(Buffer.from(token.split('.')[0] ?? '', 'base64url').toString())).kid

test('of twenty uses of one assertion at both at once exactly one is taken', async () => {
  for (let round = 0; round < 5; round += 1) {
    const assertion = await assertionOf(client, keys, { nowS: nowS() })
    const answers = await Promise.all(
      Array.from({ length: 20 }, (_, place) =>
        askAt(place % 2 === 0 ? one.service : two, assertion),
      ),
    )

    const refused = answers.filter(({ statusCode }) => statusCode !== 200)
    expect(answers.length - refused.length).toBe(1)
    // A process that has too much to do may say so instead; it gives no token either.
    for (const { statusCode, body } of refused) {
      expect([400, 503]).toContain(statusCode)
      expect(body).not.toContain('access_token')
    }
    for (const service of [one.service, two])
      expect((await askAt(service, assertion)).statusCode).toBe(400)
  }
})

test('an assertion is forgotten once it has expired for certain, and not before', async () => {
  const jtis = async () =>
    (await one.sql('select jti from used_assertions where client_id = $1', [client.clientId]))
      .length
  await tokenFrom(two)
  const before = await jtis()
  advance(360_000)
  await tokenFrom(two)
  expect(await jtis()).toBe(before + 1)
  advance(1)
  await tokenFrom(two)
  expect(await jtis()).toBe(2)
})

test('a client that is revoked is refused at both within a minute', async () => {
  const gone = await register(one, { clinicId: staff.clinicId, jwks: [keys.publicJwk] })
  const answer = await askAt(two, await assertionOf(gone, keys, { nowS: nowS() }))
  const { access_token: token } = z.object({ access_token: z.string() }).parse(answer.json())
  expect(await statuses(token)).toEqual([200, 200])

  await one.sql('update clients set revoked_at = now() where client_id = $1', [gone.clientId])
  advance(30_000)
  expect(await statuses(token)).toEqual([401, 401])
})

test('the signing key is rotated while both run: nothing that holds is ever refused', async () => {
  const [first] = await published(one.service)
  const before = await tokenFrom(one.service)
  const next = await rotateSigningKey(two.context.db, made)
  advance(20_000)
  expect(new Set(await published(one.service))).toEqual(new Set([first, next]))
  // Known everywhere before it signs anywhere.
  expect(signerOf(await tokenFrom(one.service))).toBe(first)

  advance(40_000)
  const after = [await tokenFrom(one.service), await tokenFrom(two)]
  expect(after.map(signerOf)).toEqual([next, next])
  for (const token of [before, ...after]) expect(await statuses(token)).toEqual([200, 200])

  advance(7_200_000)
  expect(await published(one.service)).toEqual([next])
  expect(await published(two)).toEqual([next])
})

test('what a key signed that is retired is refused at both within a minute', async () => {
  const [old = ''] = await published(two)
  const token = await tokenFrom(two)
  expect(await statuses(token)).toEqual([200, 200])
  expect(await retireSigningKey(one.service.context.db, old, made)).toBe(false)

  await rotateSigningKey(one.service.context.db, made)
  expect(await retireSigningKey(one.service.context.db, randomUUID(), made)).toBe(false)
  expect(await retireSigningKey(one.service.context.db, old, made)).toBe(true)
  advance(30_000)
  expect(await statuses(token)).toEqual([401, 401])
  expect(await statuses(await tokenFrom(two))).toEqual([200, 200])
})
