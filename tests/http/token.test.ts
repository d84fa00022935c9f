import { randomUUID } from 'node:crypto'
import { CompactSign, exportSPKI, generateKeyPair, importJWK, SignJWT, UnsecuredJWT } from 'jose'
import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import {
  ask,
  assertionOf,
  type ClientKeys,
  formOf,
  newKeys,
  register,
  type Registered,
  TOKEN_URL,
} from '../helpers/assertions.ts'
import { type Answer, START, type TestService, testService, type Who } from '../helpers/service.ts'

// SMART App Launch 2.2, Backend Services; RFC 6749 4.4 and 5; RFC 7523 3.

let service: TestService
let staff: Who
let partner: Who
let es: ClientKeys
let rs: ClientKeys
let client: Registered

const nowS = Math.floor(Date.parse(START) / 1000)
const Granted = z.object({
  access_token: z.string(),
  token_type: z.string(),
  expires_in: z.number(),
  scope: z.string(),
})
const Refused = z.strictObject({ error: z.string(), error_description: z.string().min(1) })
const granted = ({ json }: Answer) => Granted.parse(json)

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner } = await service.clinic())
  ;[es, rs] = [await newKeys('ES384'), await newKeys('RS384')]
  client = await register(service, {
    clinicId: partner.clinicId,
    partnerId: partner.partnerId ?? '',
    scope: 'system/Patient.rs system/Observation.crs',
    jwks: [es.publicJwk, rs.publicJwk],
  })
  return service.close
})

const sign = (changed: {
  readonly claims?: Readonly<Record<string, unknown>>
  readonly header?: Readonly<Record<string, unknown>>
}) => assertionOf(client, es, { nowS, ...changed })

const expectRefusal = (answer: Answer, error: string, status = 400) => {
  expect([answer.status, Refused.parse(answer.json).error]).toEqual([status, error])
  expect(answer.headers['cache-control']).toBe('no-store')
  expect(answer.headers['pragma']).toBe('no-cache')
  expect(answer.headers['content-type']).toMatch(/^application\/json/)
}

describe('a token is given', () => {
  test.each(['ES384', 'RS384'] as const)('for an assertion signed with %s', async (algorithm) => {
    const keys = algorithm === 'ES384' ? es : rs
    const answer = await ask(service, formOf(await assertionOf(client, keys, { nowS })))

    expect(answer.status).toBe(200)
    expect(granted(answer)).toMatchObject({
      token_type: 'bearer',
      expires_in: 3600,
      scope: 'system/Patient.rs system/Observation.rs',
    })
    expect(answer.headers['cache-control']).toBe('no-store')
  })

  test('that opens what it was asked for and nothing else', async () => {
    const form = formOf(await sign({}), { scope: 'system/Patient.rs' })
    const { access_token: token, scope } = granted(await ask(service, form))
    const get = (url: string) =>
      service.send({ clinicId: '', clientId: '', token }, { url: `/fhir/${url}` })

    expect(scope).toBe('system/Patient.rs')
    expect((await get('Patient')).status).toBe(200)
    expect((await get('Observation')).status).toBe(403)
  })

  test.each([
    ['system/Patient.cruds', 'system/Patient.rs'],
    ['system/*.cruds', 'system/Patient.rs system/Observation.crs'],
    ['system/Task.rs system/Observation.c', 'system/Observation.c'],
  ])('for what is both asked and registered: %s gives %s', async (scope, expected) => {
    expect(granted(await ask(service, formOf(await sign({}), { scope }))).scope).toBe(expected)
  })

  test('with the client id sent once more, and with the audience as a list of one', async () => {
    const form = formOf(await sign({ claims: { aud: [TOKEN_URL] } }), {
      client_id: client.clientId,
    })

    expect((await ask(service, form)).status).toBe(200)
  })

  test.each([
    ['whose exp is 60 s ago, as clocks differ', { exp: nowS - 59 }],
    ['whose exp is 5 minutes ahead of a clock that is a minute ahead', { exp: nowS + 360 }],
    ['whose nbf a clock that is behind has not reached', { nbf: nowS + 60 }],
    ['issued by a clock that is a minute ahead', { iat: nowS + 60 }],
  ])('for an assertion %s', async (_title, claims) => {
    expect((await ask(service, formOf(await sign({ claims })))).status).toBe(200)
  })
})

const publicText = async () => exportSPKI((await importedPublic()).key)
const importedPublic = async () => {
  const key = await importJWK(es.publicJwk, 'ES384')
  if (key instanceof Uint8Array) throw new Error('no key')
  return { key }
}
const claimsOf = () => ({
  iss: client.clientId,
  sub: client.clientId,
  aud: TOKEN_URL,
  exp: nowS + 300,
  jti: randomUUID(),
})

const WRONG: Readonly<Record<string, () => Promise<string>>> = {
  'that is not signed': async () => new UnsecuredJWT(claimsOf()).encode(),
  'with alg none and a signature': async () => {
    const [, payload, signature] = (await sign({})).split('.')
    const header = Buffer.from(JSON.stringify({ alg: 'none', kid: es.keyId })).toString('base64url')
    return [header, payload, signature].join('.')
  },
  'signed with HS384 and the public key': async () =>
    new SignJWT(claimsOf())
      .setProtectedHeader({ alg: 'HS384', kid: es.keyId })
      .sign(new TextEncoder().encode(await publicText())),
  'with an extension that must be understood': async () =>
    new CompactSign(new TextEncoder().encode(JSON.stringify(claimsOf())))
      .setProtectedHeader({ alg: 'ES384', kid: es.keyId, crit: ['exp'], exp: nowS })
      .sign(es.privateKey, { crit: { exp: true } }),
  'signed by the key in its own header': async () => {
    const own = await newKeys()
    return assertionOf(client, own, { nowS, header: { kid: es.keyId, jwk: own.publicJwk } })
  },
  'whose header says where its key is': async () => {
    const own = await newKeys()
    return assertionOf(client, own, {
      nowS,
      header: { jku: 'https://keys.example/jwks', x5u: 'https://keys.example/x5u' },
    })
  },
  'of an unknown key id': () => sign({ header: { kid: 'unknown' } }),
  'of the key id of another key': () => sign({ header: { kid: rs.keyId } }),
  'without a key id': () => sign({ header: { kid: undefined } }),
  'of a curve that is not P-384': async () => {
    const { privateKey } = await generateKeyPair('ES256')
    return new SignJWT(claimsOf())
      .setProtectedHeader({ alg: 'ES256', kid: es.keyId })
      .sign(privateKey)
  },
  'of type access token': () => sign({ header: { typ: 'at+jwt' } }),
  'for another audience': () => sign({ claims: { aud: 'https://other.example/oauth/token' } }),
  'for the FHIR base': () => sign({ claims: { aud: TOKEN_URL.replace('/oauth/token', '/fhir') } }),
  'for us and for others': () => sign({ claims: { aud: [TOKEN_URL, 'https://other.example'] } }),
  'without an audience': () => sign({ claims: { aud: undefined } }),
  'that is expired': () => sign({ claims: { exp: nowS - 61 } }),
  'that expires too late': () => sign({ claims: { exp: nowS + 361 } }),
  'that never expires': () => sign({ claims: { exp: undefined } }),
  'whose expiry is no number': () => sign({ claims: { exp: 'tomorrow' } }),
  'that is not valid yet': () => sign({ claims: { nbf: nowS + 61 } }),
  'issued in the future': () => sign({ claims: { iat: nowS + 61 } }),
  'without an identifier': () => sign({ claims: { jti: undefined } }),
  'with an empty identifier': () => sign({ claims: { jti: '' } }),
  'whose identifier holds a NUL': () => sign({ claims: { jti: 'a\u0000b' } }),
  'whose identifier is no text': () => sign({ claims: { jti: 7 } }),
  'whose issuer is not its subject': () => sign({ claims: { sub: 'another' } }),
  'of a client that there is not': () => sign({ claims: { iss: 'nobody', sub: 'nobody' } }),
  'whose client holds a NUL': () => sign({ claims: { iss: 'a\u0000', sub: 'a\u0000' } }),
  'with its claims changed': async () => {
    const [header, , signature] = (await sign({})).split('.')
    const forged = Buffer.from(JSON.stringify({ ...claimsOf(), extra: 1 })).toString('base64url')
    return [header, forged, signature].join('.')
  },
  'that is longer than 8 KB': () => sign({ claims: { padding: 'x'.repeat(8_192) } }),
  'that is text': async () => 'not.a.jwt',
}

describe('an assertion is refused', () => {
  test.each(Object.entries(WRONG))('%s', async (_title, make) => {
    expectRefusal(await ask(service, formOf(await make())), 'invalid_client')
  })

  test('always in the same words', async () => {
    const answers = await Promise.all(
      Object.values(WRONG).map(async (make) => ask(service, formOf(await make()))),
    )

    expect(new Set(answers.map(({ text }) => text)).size).toBe(1)
  })

  test('that was used before', async () => {
    const form = formOf(await sign({}))
    const [first, second] = [await ask(service, form), await ask(service, form)]

    expect(first.status).toBe(200)
    expectRefusal(second, 'invalid_client')
  })

  test('that was used before for a scope that was not granted', async () => {
    const assertion = await sign({})

    expectRefusal(
      await ask(service, formOf(assertion, { scope: 'system/Task.c' })),
      'invalid_scope',
    )
    expectRefusal(await ask(service, formOf(assertion)), 'invalid_client')
  })

  test('whose identifier another assertion of the client had; another client may use it', async () => {
    const jti = randomUUID()
    const keys = await newKeys()
    const another = await register(service, {
      clinicId: staff.clinicId,
      jwks: [keys.publicJwk],
    })
    const first = await ask(service, formOf(await sign({ claims: { jti } })))
    const again = await ask(service, formOf(await sign({ claims: { jti, exp: nowS + 200 } })))
    const other = await ask(
      service,
      formOf(await assertionOf(another, keys, { nowS, claims: { jti } })),
    )

    expect([first.status, again.status, other.status]).toEqual([200, 400, 200])
  })

  test('of one client signed by the key of another, whichever clinic that is of', async () => {
    const keys = await newKeys()
    for (const clinicId of [partner.clinicId, randomUUID()]) {
      await register(service, { clinicId, jwks: [keys.publicJwk] })
      expectRefusal(
        await ask(service, formOf(await assertionOf(client, keys, { nowS }))),
        'invalid_client',
      )
    }
  })

  test('of a name that two clinics have given', async () => {
    const keys = await newKeys()
    const clientId = `twice-${randomUUID()}`
    const one = await register(service, {
      clinicId: staff.clinicId,
      clientId,
      jwks: [keys.publicJwk],
    })
    expect((await ask(service, formOf(await assertionOf(one, keys, { nowS })))).status).toBe(200)

    await register(service, { clinicId: randomUUID(), clientId, jwks: [keys.publicJwk] })
    expectRefusal(
      await ask(service, formOf(await assertionOf(one, keys, { nowS }))),
      'invalid_client',
    )
  })

  test('of a client that has no keys, or whose keys were meant for something else', async () => {
    const keys = await newKeys()
    const strange = [
      { ...keys.publicJwk, use: 'enc' },
      { ...keys.publicJwk, alg: 'ES256' },
      { ...keys.publicJwk, key_ops: ['encrypt'] },
    ]
    for (const jwks of [undefined, [], ...strange.map((one) => [one])]) {
      const one = await register(service, {
        clinicId: staff.clinicId,
        ...(jwks === undefined ? {} : { jwks }),
      })
      expectRefusal(
        await ask(service, formOf(await assertionOf(one, keys, { nowS }))),
        'invalid_client',
      )
    }
  })

  test('of a client that is revoked', async () => {
    const keys = await newKeys()
    const one = await register(service, { clinicId: staff.clinicId, jwks: [keys.publicJwk] })
    await service.sql('update clients set revoked_at = now() where client_id = $1', [one.clientId])

    expectRefusal(
      await ask(service, formOf(await assertionOf(one, keys, { nowS }))),
      'invalid_client',
    )
  })
})

describe('a request is refused', () => {
  test.each([
    '',
    'system/Patient.rs?status=active',
    'system/Observation.rs?date=ge2026 system/Patient.rs',
    'system/*.rs?_tag=a',
    'system/Task.rs',
    'admin',
    'user/Patient.rs',
    'launch',
    'system/Patient.sr',
  ])('for the scope %j', async (scope) => {
    expectRefusal(await ask(service, formOf(await sign({}), { scope })), 'invalid_scope')
  })

  test.each<[Record<string, string>, string]>([
    [{ grant_type: 'authorization_code' }, 'unsupported_grant_type'],
    [{ grant_type: 'password' }, 'unsupported_grant_type'],
    [{ grant_type: '' }, 'invalid_request'],
    [
      { client_assertion_type: 'urn:ietf:params:oauth:client-assertion-type:saml2-bearer' },
      'invalid_client',
    ],
    [{ client_assertion_type: '' }, 'invalid_client'],
    [{ client_assertion: '' }, 'invalid_client'],
    [{ client_secret: 'a' }, 'invalid_request'],
    [{ client_id: 'another' }, 'invalid_client'],
  ])('with %j', async (changed, error) => {
    expectRefusal(await ask(service, formOf(await sign({}), changed)), error)
  })

  test('that names a parameter twice', async () => {
    const form = new URLSearchParams(formOf(await sign({}))).toString()

    expectRefusal(await ask(service, `${form}&scope=system/Patient.rs`), 'invalid_request')
  })

  test('that is no form, or more than a form', async () => {
    const json = await service.send(undefined, {
      method: 'POST',
      url: '/oauth/token',
      body: formOf(await sign({})),
      headers: { 'content-type': 'application/json' },
    })
    const long = await ask(service, { padding: 'x'.repeat(40_000) })

    expectRefusal(json, 'invalid_request', 415)
    expectRefusal(long, 'invalid_request', 413)
  })

  test('that proves itself by a password, with the scheme that was tried', async () => {
    const answer = await ask(service, formOf(await sign({})), { authorization: 'Basic YTpi' })

    expectRefusal(answer, 'invalid_client', 401)
    expect(answer.headers['www-authenticate']).toBe('Basic')
  })
})

test('the configuration says where and how, and is open to everybody', async () => {
  const answer = await service.send(undefined, { url: '/fhir/.well-known/smart-configuration' })

  expect(answer.status).toBe(200)
  expect(answer.headers['content-type']).toMatch(/^application\/json/)
  expect(answer.json).toMatchObject({
    token_endpoint: TOKEN_URL,
    jwks_uri: TOKEN_URL.replace('token', 'jwks'),
    grant_types_supported: ['client_credentials'],
    token_endpoint_auth_methods_supported: ['private_key_jwt'],
    token_endpoint_auth_signing_alg_values_supported: ['ES384', 'RS384'],
    capabilities: ['client-confidential-asymmetric', 'permission-v2'],
  })
  expect(JSON.stringify((await service.send(undefined, { url: '/fhir/metadata' })).json)).toContain(
    TOKEN_URL,
  )
})
