import { randomUUID } from 'node:crypto'
import { CompactSign, exportSPKI, generateKeyPair, importJWK, SignJWT, UnsecuredJWT } from 'jose'
import { beforeAll, describe, expect, test } from 'vitest'
import { claimedJwt, verifiedJwt } from '../../src/security/client-assertion.ts'
import { readKeySet } from '../../src/security/client-keys.ts'
import { type ClientKeys, newKeys, register, type Registered } from '../helpers/assertions.ts'
import { addressOf, cardsOf, prefetchOf, VIEW, viewCall } from '../helpers/cds.ts'
import { keyHost, type KeyHost } from '../helpers/key-host.ts'
import { referralParts } from '../helpers/referral.ts'
import { START, type TestService, testService, type Who } from '../helpers/service.ts'

// CDS Hooks 2.0, "Trusting CDS Clients": a JWT that the client signs for the address it calls.

let service: TestService
let partner: Who
let es: ClientKeys
let rs: ClientKeys
let client: Registered
let host: KeyHost

const nowS = Math.floor(Date.parse(START) / 1000)
const CALL = viewCall(prefetchOf(referralParts({ key: 'cds-client' })))

beforeAll(async () => {
  host = await keyHost()
  service = await testService({ jwksOrigins: [host.origin] })
  ;({ partner } = await service.clinic())
  ;[es, rs] = [await newKeys('ES384'), await newKeys('RS384')]
  client = await register(service, {
    clinicId: partner.clinicId,
    partnerId: partner.partnerId ?? '',
    scope: 'system/ServiceRequest.c',
    jwks: [es.publicJwk, rs.publicJwk],
  })
  return async () => {
    await service.close()
    await host.close()
  }
})

type Changes = Readonly<Record<string, unknown>>

const claimsOf = (claims: Changes = {}): Changes => ({
  iss: client.clientId,
  aud: addressOf(VIEW),
  exp: nowS + 300,
  iat: nowS,
  jti: randomUUID(),
  ...claims,
})
const sign = (
  { claims = {}, header = {} }: { claims?: Changes; header?: Changes } = {},
  { keyId, algorithm, privateKey }: ClientKeys = es,
) =>
  new SignJWT(claimsOf(claims))
    .setProtectedHeader({ alg: algorithm, kid: keyId, typ: 'JWT', ...header })
    .sign(privateKey)

const call = (token: string, url = VIEW) =>
  service.send(undefined, {
    method: 'POST',
    url,
    body: CALL,
    headers: { 'content-type': 'application/json', authorization: `Bearer ${token}` },
  })
const status = async (token: string, url = VIEW) => (await call(token, url)).status

describe('a client is answered', () => {
  test.each(['ES384', 'RS384'] as const)('by a JWT that it signed with %s', async (algorithm) => {
    const keys = algorithm === 'ES384' ? es : rs

    expect(cardsOf(await call(await sign({}, keys)))).toHaveLength(1)
  })

  test('by an access token of ours too, when it may send referrals', async () => {
    const { clinicId } = partner
    const reader = await service.who({ clinicId, scope: 'system/*.rs', clientId: 'a-reader' })

    expect(await status(partner.token)).toBe(200)
    expect(await status(reader.token)).toBe(403)
  })

  test('with clocks that differ by a minute', async () => {
    expect(await status(await sign({ claims: { exp: nowS - 59 } }))).toBe(200)
    expect(await status(await sign({ claims: { iat: nowS + 60, exp: nowS + 360 } }))).toBe(200)
  })
})

describe('a client that names itself by its own address', () => {
  const issuer = () => `${host.origin}/`
  const jku = () => `${host.origin}/keys`

  test('is known by where its keys are registered to be', async () => {
    const keys = await newKeys()
    host.set('/keys', JSON.stringify({ keys: [keys.publicJwk] }))
    const { clinicId } = partner
    await register(service, { clinicId, scope: 'system/ServiceRequest.c', jwksUrl: jku() })
    const by = (iss: string, from: string) => sign({ claims: { iss }, header: { jku: from } }, keys)

    expect(await status(await by(issuer(), jku()))).toBe(200)
    expect(await status(await by('https://somebody-else.example/', jku()))).toBe(401)
    expect(await status(await by(issuer(), `${host.origin}/other`))).toBe(401)
    expect(await status(await sign({ claims: { iss: issuer() } }, keys))).toBe(401)
  })

  test('is nobody when two are registered with the same address', async () => {
    const keys = await newKeys()
    host.set('/shared', JSON.stringify({ keys: [keys.publicJwk] }))
    const jwksUrl = `${host.origin}/shared`
    for (const { staff } of [await service.clinic(), await service.clinic()])
      await register(service, {
        clinicId: staff.clinicId,
        scope: 'system/ServiceRequest.c',
        jwksUrl,
      })

    expect(
      await status(await sign({ claims: { iss: issuer() }, header: { jku: jwksUrl } }, keys)),
    ).toBe(401)
  })
})

describe('401 answers', () => {
  test.each<[string, () => Promise<string> | string]>([
    ['no key at all (alg none)', () => new UnsecuredJWT(claimsOf()).encode()],
    ['a JWT for another address', () => sign({ claims: { aud: addressOf(`${VIEW}/feedback`) } })],
    [
      'a JWT for others too',
      () => sign({ claims: { aud: [addressOf(VIEW), 'https://b.example'] } }),
    ],
    ['a JWT for nobody', () => sign({ claims: { aud: undefined } })],
    ['one that is expired', () => sign({ claims: { exp: nowS - 61 } })],
    ['one that lives longer than five minutes', () => sign({ claims: { exp: nowS + 361 } })],
    ['one that never expires', () => sign({ claims: { exp: undefined } })],
    ['one from the future', () => sign({ claims: { iat: nowS + 61 } })],
    ['one that does not say when', () => sign({ claims: { iat: undefined } })],
    ['one without a jti', () => sign({ claims: { jti: undefined } })],
    ['an issuer that is not registered', () => sign({ claims: { iss: randomUUID() } })],
    ['no issuer', () => sign({ claims: { iss: undefined } })],
    ['a key that is not registered', () => sign({ header: { kid: 'another' } })],
    ['a key without a name', () => sign({ header: { kid: undefined } })],
    ['something else than a JWT', () => sign({ header: { typ: 'at+jwt' } })],
    ['what is no token', () => 'no-token'],
  ])('%s', async (_title, token) => {
    const answer = await call(await token())

    expect(answer.status).toBe(401)
    expect(answer.headers['www-authenticate']).toBe('Bearer')
    expect(answer.text).not.toContain('footing-test.example/cds')
  })

  test('a signature of the public key taken for a shared secret (HS256, HS384)', async () => {
    const key = await importJWK(es.publicJwk, 'ES384')
    if (key instanceof Uint8Array) throw new Error('no key')
    for (const alg of ['HS256', 'HS384']) {
      const signed = await new CompactSign(Buffer.from(JSON.stringify(claimsOf())))
        .setProtectedHeader({ alg, kid: es.keyId, typ: 'JWT' })
        .sign(Buffer.from(await exportSPKI(key)))

      expect(await status(signed)).toBe(401)
    }
  })

  test('a signature of somebody else, and one that was altered', async () => {
    const { privateKey } = await generateKeyPair('ES384')
    const [head = '', claims = '', signature = ''] = (await sign()).split('.')
    const other = Buffer.from(JSON.stringify(claimsOf({ iss: 'x' }))).toString('base64url')

    expect(await status(await sign({}, { ...es, privateKey }))).toBe(401)
    expect(await status([head, other, signature].join('.'))).toBe(401)
    expect(await status([head, claims, ''].join('.'))).toBe(401)
  })

  test('a JWT that was used before', async () => {
    const token = await sign()

    expect([await status(token), await status(token)]).toEqual([200, 401])
  })

  test('a client that is revoked', async () => {
    const revoked = await register(service, {
      clinicId: partner.clinicId,
      scope: 'system/ServiceRequest.c',
      jwks: [es.publicJwk],
    })
    const token = () => sign({ claims: { iss: revoked.clientId } })
    const before = await status(await token())
    await service.sql('update clients set revoked_at = now() where client_id = $1', [
      revoked.clientId,
    ])

    expect([before, await status(await token())]).toEqual([200, 401])
  })

  test('nobody, at a hook and never at discovery', async () => {
    const sent = { method: 'POST', url: VIEW, body: CALL } as const

    expect((await service.send(undefined, sent)).status).toBe(401)
    expect((await service.send(undefined, { url: '/cds-services' })).status).toBe(200)
  })
})

/** Published with CDS Hooks (docs/specification/current.md of cds-hooks/docs, Apache-2.0). */
const PUBLISHED = {
  key: {
    kty: 'EC',
    use: 'sig',
    crv: 'P-384',
    kid: 'example-kid',
    x: '46SDH7Znh821wblCBglA61sNE9ZrHYKKt3qRtRTmSXyOI_FIGBLWrWa0GPUkDCEk',
    y: 'XMcRuuoGW7CXjQdy-F5i3FeBE0x9hPLdeFdSoDd3ELmx404tLX0VRRcqzAsPhXcI',
    alg: 'ES384',
  },
  token: [
    'eyJhbGciOiJFUzM4NCIsInR5cCI6IkpXVCIsImtpZCI6ImV4YW1wbGUta2lkIiwiamt1IjoiaHR0cHM6Ly9maGlyLWVoci5leGFtcGxlLmNvbS9qd2tfdXJpIn0',
    'eyJpc3MiOiJodHRwczovL2ZoaXItZWhyLmV4YW1wbGUuY29tLyIsImF1ZCI6Imh0dHBzOi8vY2RzLmV4YW1wbGUub3JnL2Nkcy1zZXJ2aWNlcy9zb21lLXNlcnZpY2UiLCJleHAiOjE0MjI1Njg4NjAsImlhdCI6MTMxMTI4MDk3MCwianRpIjoiZWUyMmIwMjEtZTFiNy00NjExLWJhNWItOGVlYzZhMzNhYzFlIiwidGVuYW50IjoiMmRkZDZjM2EtOGU5YS00NGM2LWEzMDUtNTIxMTFhZDMwMmEyIn0',
    'd1WfLjGRKlcWB94l9do4cM8REXeYJLL6SGUBO8VHZhfM8mwKYP70EMxJ67War4TQblEpaQrp11wx5p7oPFm2ETYgCicS84vXWEIYTdjooZdooCSDf2L8-i4awdoUwiEb',
  ].join('.'),
}

test('the example that is published with CDS Hooks verifies, until its exp', async () => {
  const claimed = claimedJwt(PUBLISHED.token)
  const [key] = readKeySet(JSON.stringify({ keys: [PUBLISHED.key] })) ?? []
  if (key === undefined) throw new Error('no key')
  const at = (iso: string, audience = 'https://cds.example.org/cds-services/some-service') =>
    verifiedJwt(PUBLISHED.token, key, {
      issuer: claimed?.issuer ?? '',
      audience,
      currentDate: new Date(iso),
      requiredClaims: ['exp', 'iat', 'jti'],
    })

  expect(claimed).toEqual({
    issuer: 'https://fhir-ehr.example.com/',
    subject: undefined,
    keysUrl: 'https://fhir-ehr.example.com/jwk_uri',
    keyId: 'example-kid',
    algorithm: 'ES384',
  })
  // exp is 1422568860, 2015-01-29T22:01:00Z.
  expect((await at('2015-01-29T21:57:00Z'))?.jti).toBe('ee22b021-e1b7-4611-ba5b-8eec6a33ac1e')
  expect(await at('2015-01-29T22:03:00Z')).toBeUndefined()
  expect(await at('2015-01-29T21:57:00Z', 'https://cds.example.org/other')).toBeUndefined()
})
