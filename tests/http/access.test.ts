import { createPrivateKey, createSign, randomUUID } from 'node:crypto'
import { exportJWK, generateKeyPair, importJWK, SignJWT, UnsecuredJWT } from 'jose'
import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { bundleOf, smallReferral } from '../helpers/referral.ts'
import {
  type Answer,
  issues,
  kept,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

let service: TestService
let partner: Who
let referral: string
let key: Awaited<ReturnType<typeof importJWK>>
let keyId: string
let jwk: Record<string, string>

const LOCAL = 'urn:footing:local'

beforeAll(async () => {
  service = await testService()
  ;({ partner } = await service.clinic())
  const sent = await service.refer(partner, smallReferral({ key: 'access' }))
  referral = kept(sent)[1] ?? ''
  const [stored] = await service.sql<{ key_id: string; private_jwk: string }>(
    'select key_id, private_jwk from signing_keys',
  )
  keyId = stored?.key_id ?? ''
  const text: unknown = JSON.parse(stored?.private_jwk ?? '')
  jwk = z.record(z.string(), z.string()).parse(text)
  key = await importJWK(jwk, 'ES256')
  await service.who({
    clinicId: partner.clinicId,
    partnerId: partner.partnerId ?? '',
    clientId: 'a',
  })
  return service.close
})

const claims = () => ({
  clinic: partner.clinicId,
  partner: partner.partnerId,
  client_id: 'a',
  scope: 'system/*.crs',
})
const now = () => Math.floor(Date.parse('2026-03-02T09:00:00Z') / 1000)
const payload = () =>
  new SignJWT(claims())
    .setIssuer(LOCAL)
    .setAudience(LOCAL)
    .setSubject('a')
    .setJti(randomUUID())
    .setIssuedAt(now())
    .setExpirationTime(now() + 60)
const header = () => ({ alg: 'ES256', kid: keyId, typ: 'at+jwt' })

const get = (authorization?: string, url = '/fhir/Patient') =>
  service.send(undefined, {
    url,
    headers: authorization === undefined ? {} : { authorization },
  })
const expectRefusal = (answer: Answer) => {
  expect(answer.status).toBe(401)
  expect(answer.headers['www-authenticate']).toBe('Bearer')
  expect(answer.headers['content-type']).toBe('application/fhir+json; charset=utf-8')
  expect(issues(answer)[0]?.code).toBe('login')
}

test('a token as the service makes it is taken', async () => {
  const token = await payload().setProtectedHeader(header()).sign(key)

  expect((await get(`Bearer ${token}`)).status).toBe(200)
  expect((await get(`bearer ${token}`)).status).toBe(200)
})

const WRONG: Readonly<Record<string, () => Promise<string>>> = {
  expired: () =>
    payload()
      .setExpirationTime(now() - 10)
      .setProtectedHeader(header())
      .sign(key),
  'of another issuer': () =>
    payload().setIssuer('https://other.example').setProtectedHeader(header()).sign(key),
  'for another audience': () =>
    payload().setAudience('https://other.example').setProtectedHeader(header()).sign(key),
  'of an unknown key': async () => {
    const { privateKey } = await generateKeyPair('ES256')
    return payload()
      .setProtectedHeader({ ...header(), kid: 'unknown' })
      .sign(privateKey)
  },
  'signed by another key under our key id': async () => {
    const { privateKey } = await generateKeyPair('ES256')
    return payload().setProtectedHeader(header()).sign(privateKey)
  },
  'without a key id': () => payload().setProtectedHeader({ alg: 'ES256', typ: 'at+jwt' }).sign(key),
  'of another type': () =>
    payload()
      .setProtectedHeader({ ...header(), typ: 'JWT' })
      .sign(key),
  'signed with HS256 and the public key': async () => {
    const { d: _private, ...publicJwk } = jwk
    const secret = new TextEncoder().encode(JSON.stringify(publicJwk))
    return payload()
      .setProtectedHeader({ ...header(), alg: 'HS256' })
      .sign(secret)
  },
  'not signed': async () =>
    new UnsecuredJWT(claims())
      .setIssuer(LOCAL)
      .setAudience(LOCAL)
      .setSubject('a')
      .setJti('a')
      .setIssuedAt(now())
      .setExpirationTime(now() + 60)
      .encode(),
  'with an extension that must be understood': () =>
    payload()
      .setProtectedHeader(header())
      .sign(key)
      .then((token) => withHeader(token, { ...header(), crit: ['urn:x'], 'urn:x': 1 })),
  'signed by the key in its own header': async () => {
    const { privateKey, publicKey } = await generateKeyPair('ES256')
    return payload()
      .setProtectedHeader({ ...header(), jwk: await exportJWK(publicKey) })
      .sign(privateKey)
  },
  'whose header says where its key is': async () => {
    const { privateKey } = await generateKeyPair('ES256')
    return payload()
      .setProtectedHeader({
        ...header(),
        jku: 'https://keys.example/jwks',
        x5u: 'https://keys.example',
      })
      .sign(privateKey)
  },
  'of another curve': async () => {
    const { privateKey } = await generateKeyPair('ES384')
    return payload()
      .setProtectedHeader({ ...header(), alg: 'ES384' })
      .sign(privateKey)
  },
  'that is not valid yet': () =>
    payload()
      .setNotBefore(now() + 1)
      .setProtectedHeader(header())
      .sign(key),
  'that never expires': () =>
    new SignJWT(claims())
      .setIssuer(LOCAL)
      .setAudience(LOCAL)
      .setSubject('a')
      .setJti('a')
      .setIssuedAt(now())
      .setProtectedHeader(header())
      .sign(key),
  'that is an ID token': () =>
    new SignJWT({ fhirUser: 'Practitioner/a', nonce: 'n' })
      .setIssuer(LOCAL)
      .setAudience('a')
      .setSubject('a')
      .setIssuedAt(now())
      .setExpirationTime(now() + 60)
      .setProtectedHeader({ alg: 'ES256', kid: keyId, typ: 'JWT' })
      .sign(key),
  'of a client that is not registered': () =>
    payload().setSubject('nobody').setProtectedHeader(header()).sign(key),
  'of a client of another clinic': () =>
    new SignJWT({ ...claims(), clinic: randomUUID() })
      .setIssuer(LOCAL)
      .setAudience(LOCAL)
      .setSubject('a')
      .setJti('a')
      .setIssuedAt(now())
      .setExpirationTime(now() + 60)
      .setProtectedHeader(header())
      .sign(key),
  'of a client of another partner': () =>
    new SignJWT({ ...claims(), partner: randomUUID() })
      .setIssuer(LOCAL)
      .setAudience(LOCAL)
      .setSubject('a')
      .setJti('a')
      .setIssuedAt(now())
      .setExpirationTime(now() + 60)
      .setProtectedHeader(header())
      .sign(key),
  'without a clinic': () =>
    new SignJWT({ scope: 'system/*.crs' })
      .setIssuer(LOCAL)
      .setAudience(LOCAL)
      .setSubject('a')
      .setJti('a')
      .setIssuedAt(now())
      .setExpirationTime(now() + 60)
      .setProtectedHeader(header())
      .sign(key),
  'with its scope letters out of order': () =>
    new SignJWT({ ...claims(), scope: 'system/*.src' })
      .setIssuer(LOCAL)
      .setAudience(LOCAL)
      .setSubject('a')
      .setJti('a')
      .setIssuedAt(now())
      .setExpirationTime(now() + 60)
      .setProtectedHeader(header())
      .sign(key),
  'with its signature changed': async () => {
    const token = await payload().setProtectedHeader(header()).sign(key)
    const at = token.lastIndexOf('.') + 10
    return token.slice(0, at) + (token[at] === 'A' ? 'B' : 'A') + token.slice(at + 1)
  },
  'with its claims changed': async () => {
    const token = await payload().setProtectedHeader(header()).sign(key)
    const [head, , signature] = token.split('.')
    const forged = Buffer.from(JSON.stringify({ ...claims(), clinic: randomUUID() }))
    return [head, forged.toString('base64url'), signature].join('.')
  },
}

/** The signing library refuses to make what the service must refuse to take. */
async function withHeader(token: string, head: Readonly<Record<string, unknown>>): Promise<string> {
  const [, body] = token.split('.')
  const signed = [Buffer.from(JSON.stringify(head)).toString('base64url'), body].join('.')
  const privateKey = createPrivateKey({ key: jwk, format: 'jwk' })
  const signature = createSign('sha256')
    .update(signed)
    .sign({ key: privateKey, dsaEncoding: 'ieee-p1363' })
  return `${signed}.${signature.toString('base64url')}`
}

test('what is signed by hand is taken too, so that a refusal is of what was changed', async () => {
  const token = await withHeader(await payload().setProtectedHeader(header()).sign(key), header())

  expect((await get(`Bearer ${token}`)).status).toBe(200)
})

for (const [title, make] of Object.entries(WRONG))
  test(`a token ${title} is refused with 401`, async () => {
    expectRefusal(await get(`Bearer ${await make()}`))
  })

test.each([undefined, '', 'Bearer', 'Bearer ', 'Basic YTpi', 'Bearer a.b.c', 'Bearer a b'])(
  'the header %j is refused with 401',
  async (authorization) => {
    expectRefusal(await get(authorization))
  },
)

test('a token that was taken is refused once it has expired', async () => {
  const token = await payload().setProtectedHeader(header()).sign(key)
  const before = await get(`Bearer ${token}`)
  service.clock.advance(66_000)

  const after = await get(`Bearer ${token}`)
  service.clock.advance(-66_000)

  expect(before.status).toBe(200)
  expectRefusal(after)
})

test('all refusals of a token say the same', async () => {
  const texts = await Promise.all(
    Object.values(WRONG).map(async (make) => (await get(`Bearer ${await make()}`)).text),
  )

  expect(new Set(texts).size).toBe(1)
})

test('every address below /fhir but metadata needs a token', async () => {
  const asked = [
    ['GET', '/fhir/Patient'],
    ['GET', '/fhir/Patient/a'],
    ['GET', '/fhir/Patient/a/_history/1'],
    ['POST', '/fhir/Patient/_search'],
    ['POST', '/fhir/Patient'],
    ['POST', '/fhir'],
    ['POST', '/fhir/'],
    ['POST', '/fhir/ServiceRequest/a/$triage'],
    ['POST', '/fhir/ServiceRequest/a/$fitting-plan'],
    ['GET', '/fhir/ServiceRequest/a/$fitting-plan'],
    ['GET', '/fhir/ServiceRequest/a/$chart?kind=urgency'],
    ['GET', '/fhir/Patient/a/$chart?kind=urgency'],
    ['DELETE', '/fhir/Patient/a'],
    ['GET', '/fhir/Claim'],
  ] as const

  for (const [method, url] of asked) expectRefusal(await service.send(undefined, { method, url }))
})

test('metadata and health are open', async () => {
  for (const url of ['/fhir/metadata', '/health/live', '/health/ready'])
    expect((await service.send(undefined, { url })).status).toBe(200)
})

interface Interaction {
  readonly name: string
  readonly needs: readonly string[]
  readonly send: (who: Who) => Promise<Answer>
}
const INTERACTIONS: readonly Interaction[] = [
  {
    name: 'read',
    needs: ['system/Patient.r'],
    send: (who) => service.send(who, { url: '/fhir/Patient/a' }),
  },
  {
    name: 'vread',
    needs: ['system/Patient.r'],
    send: (who) => service.send(who, { url: '/fhir/Patient/a/_history/1' }),
  },
  {
    name: 'search',
    needs: ['system/Patient.s'],
    send: (who) => service.send(who, { url: '/fhir/Patient' }),
  },
  {
    name: 'search by form',
    needs: ['system/Patient.s'],
    send: (who) =>
      service.send(who, {
        method: 'POST',
        url: '/fhir/Patient/_search',
        body: '_count=1',
        headers: { 'content-type': 'application/x-www-form-urlencoded' },
      }),
  },
  {
    name: 'create',
    needs: ['system/Organization.c'],
    send: (who) =>
      service.send(who, {
        method: 'POST',
        url: '/fhir/Organization',
        body: { resourceType: 'Organization', name: 'An invented practice' },
      }),
  },
  {
    name: 'transaction',
    needs: ['system/Patient.c', 'system/ServiceRequest.c', 'system/Task.c', 'system/Observation.c'],
    send: (who) =>
      service.send(who, {
        method: 'POST',
        url: '/fhir',
        body: bundleOf(smallReferral({ key: 'scoped' })),
      }),
  },
  {
    name: '$triage',
    needs: [
      'system/ServiceRequest.r',
      'system/Observation.c',
      'system/Observation.r',
      'system/RiskAssessment.r',
    ],
    send: (who) => service.send(who, { method: 'POST', url: `/fhir/${referral}/$triage` }),
  },
  {
    name: '$fitting-plan',
    needs: ['system/ServiceRequest.r', 'system/CarePlan.r'],
    send: (who) => service.send(who, { method: 'POST', url: `/fhir/${referral}/$fitting-plan` }),
  },
  {
    name: '$chart',
    needs: ['system/ServiceRequest.r', 'system/Observation.r', 'system/CarePlan.r'],
    send: (who) => service.send(who, { url: `/fhir/${referral}/$chart?kind=urgency` }),
  },
]

const withScope = (scope: string) =>
  service.who({ clinicId: partner.clinicId, partnerId: partner.partnerId ?? '', scope })

for (const { name, needs, send } of INTERACTIONS) {
  test(`${name} is allowed by exactly its scopes`, async () => {
    const { status } = await send(await withScope(needs.join(' ')))

    expect(status).not.toBe(403)
  })

  for (const missing of needs)
    test(`${name} is refused without ${missing}, which is named`, async () => {
      const [, type = '', letter = ''] = /^system\/(\w+)\.(\w)$/.exec(missing) ?? []
      const rest = 'cruds'.replace(letter, '')
      const others = needs.filter((need) => need !== missing)

      const answer = await send(
        await withScope([`system/${type}.${rest}`, 'system/Claim.cruds', ...others].join(' ')),
      )

      expect([answer.status, issues(answer)[0]?.code]).toEqual([403, 'forbidden'])
      expect(issues(answer).map(({ details }) => details.text)).toEqual([
        `The scope ${missing} is needed.`,
      ])
      expect(answer.headers['www-authenticate']).toBeUndefined()
    })
}

test('a refused transaction stores nothing', async () => {
  const before = await service.sql(`select 1 from resource_versions where type <> 'AuditEvent'`)
  await INTERACTIONS[5]?.send(await withScope('system/Patient.c'))

  expect(
    await service.sql(`select 1 from resource_versions where type <> 'AuditEvent'`),
  ).toHaveLength(before.length)
})
