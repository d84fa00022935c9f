import { createServer, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import * as client from 'openid-client'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { DEMO } from '../../src/services/clinic-setup.ts'
import { listeningService } from '../../src/listening.ts'
import { type ClientKeys, newKeys } from '../helpers/assertions.ts'
import { testDatabase } from '../helpers/database.ts'

// An OAuth library that knows nothing of this service gets a token over a port and reads with it.

let keys: ClientKeys
let origin: string
let publishedAt: string
let server: Server
const published: unknown[] = []
const closing: (() => Promise<void>)[] = []
const CLIENTS = { inline: 'independent-inline', byUrl: 'independent-by-url' }

beforeAll(async () => {
  keys = await newKeys('ES384')
  server = createServer((_request, response) => response.end(JSON.stringify({ keys: published })))
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const { port } = server.address() as AddressInfo
  publishedAt = `http://127.0.0.1:${port}`
  const { url, drop } = await testDatabase()
  const service = await listeningService(
    {
      host: '127.0.0.1',
      port: 0,
      baseUrl: undefined,
      tokenIssuer: undefined,
      tokenLifetimeSeconds: 300,
      poolSize: 4,
      statementTimeoutMs: 10_000,
      answerLanguage: 'en',
      jwksOrigins: [publishedAt],
    },
    url,
  )
  ;({ origin } = service)
  await service.context.db.asOwner((tx) =>
    tx.query({
      text: `insert into clients
        (clinic_id, client_id, partner_id, name, scope, created_at, jwks, jwks_url)
        select $1, id, $2, 'Independent (invented)', 'system/*.rs', now(),
          case id when $3 then $5 end, case id when $4 then $6 end
        from unnest(array[$3, $4]) id`,
      values: [
        DEMO.clinic.clinicId,
        DEMO.partner.partnerId,
        CLIENTS.inline,
        CLIENTS.byUrl,
        JSON.stringify({ keys: [keys.publicJwk] }),
        `${publishedAt}/jwks`,
      ],
    }),
  )
  closing.push(service.close, drop)
})
afterAll(async () => {
  for (const close of closing) await close()
  server.close()
})

const Configuration = z.object({ token_endpoint: z.string(), jwks_uri: z.string() })

/** As the library wants it: the server from its SMART configuration, the client with its key. */
async function configured(clientId: string, { privateKey, keyId }: ClientKeys) {
  const found = await fetch(`${origin}/fhir/.well-known/smart-configuration`)
  const smart = Configuration.parse(await found.json())
  const configuration = new client.Configuration(
    { issuer: origin, ...smart },
    clientId,
    undefined,
    client.PrivateKeyJwt(
      { key: privateKey, kid: keyId },
      {
        // SMART names the token endpoint as the audience, the library's preset is the issuer.
        [client.modifyAssertion]: (_header, payload) => {
          payload['aud'] = smart.token_endpoint
        },
      },
    ),
  )
  client.allowInsecureRequests(configuration)
  return configuration
}

const grant = async (clientId: string, with_: ClientKeys = keys) =>
  client.clientCredentialsGrant(await configured(clientId, with_), { scope: 'system/Patient.rs' })

test('openid-client gets a token with its key and reads a resource', async () => {
  const tokens = await grant(CLIENTS.inline)
  const made = await fetch(`${origin}/fhir/Patient`, {
    headers: { authorization: `Bearer ${tokens.access_token}` },
  })

  expect([tokens.token_type, tokens.scope, tokens.expires_in]).toEqual([
    'bearer',
    'system/Patient.rs',
    300,
  ])
  expect(made.status).toBe(200)
  expect(await made.json()).toMatchObject({ resourceType: 'Bundle', type: 'searchset' })
})

test('with a key that it publishes, once it does', async () => {
  const another = await newKeys('RS384')
  published.push(another.publicJwk)

  await expect(grant(CLIENTS.byUrl, another)).resolves.toMatchObject({ token_type: 'bearer' })
})

test('and learns in the words of RFC 6749 why it gets none', async () => {
  const strange = await newKeys('ES384')

  await expect(grant(CLIENTS.inline, strange)).rejects.toMatchObject({
    error: 'invalid_client',
    status: 400,
  })
})
