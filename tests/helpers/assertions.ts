import { randomUUID } from 'node:crypto'
import { exportJWK, generateKeyPair, type JWK, SignJWT } from 'jose'
import { ORIGIN, type TestService } from './service.ts'

// A client system as SMART Backend Services has it: a key pair, registered, and what it signs.

export const TOKEN_URL = `${ORIGIN}/oauth/token`
export const ASSERTION_TYPE = 'urn:ietf:params:oauth:client-assertion-type:jwt-bearer'

export interface ClientKeys {
  readonly keyId: string
  readonly algorithm: 'ES384' | 'RS384'
  readonly privateKey: Awaited<ReturnType<typeof generateKeyPair>>['privateKey']
  readonly publicJwk: JWK
}

export async function newKeys(algorithm: 'ES384' | 'RS384' = 'ES384'): Promise<ClientKeys> {
  const { privateKey, publicKey } = await generateKeyPair(algorithm, { extractable: true })
  const keyId = randomUUID()
  const publicJwk = { ...(await exportJWK(publicKey)), kid: keyId, alg: algorithm, use: 'sig' }
  return { keyId, algorithm, privateKey, publicJwk }
}

export interface Registered {
  readonly clinicId: string
  readonly clientId: string
  readonly partnerId?: string
}

/** Registers a client as the command would, without asking anybody. */
export async function register(
  { sql }: Pick<TestService, 'sql'>,
  client: {
    readonly clinicId: string
    readonly partnerId?: string
    readonly clientId?: string
    readonly scope?: string
    readonly jwks?: readonly JWK[]
    readonly jwksUrl?: string
  },
): Promise<Registered> {
  const { clinicId, partnerId, clientId = randomUUID(), scope = 'system/*.rs' } = client
  await sql(
    `insert into clients (clinic_id, client_id, partner_id, name, scope, created_at, jwks, jwks_url)
    values ($1, $2, $3, 'An invented records system', $4, now(), $5, $6)`,
    [
      clinicId,
      clientId,
      partnerId ?? null,
      scope,
      client.jwks === undefined ? null : JSON.stringify({ keys: client.jwks }),
      client.jwksUrl ?? null,
    ],
  )
  return { clinicId, clientId, ...(partnerId === undefined ? {} : { partnerId }) }
}

/** An assertion that holds, of this client at this second; with what is to be different in it. */
export function assertionOf(
  { clientId }: Pick<Registered, 'clientId'>,
  { keyId, algorithm, privateKey }: ClientKeys,
  {
    nowS,
    claims = {},
    header = {},
  }: {
    readonly nowS: number
    readonly claims?: Readonly<Record<string, unknown>>
    readonly header?: Readonly<Record<string, unknown>>
  },
): Promise<string> {
  return new SignJWT({
    iss: clientId,
    sub: clientId,
    aud: TOKEN_URL,
    exp: nowS + 300,
    jti: randomUUID(),
    ...claims,
  })
    .setProtectedHeader({ alg: algorithm, kid: keyId, typ: 'JWT', ...header })
    .sign(privateKey)
}

export const formOf = (
  assertion: string,
  others: Readonly<Record<string, string>> = {},
): Record<string, string> => ({
  grant_type: 'client_credentials',
  scope: 'system/*.rs',
  client_assertion_type: ASSERTION_TYPE,
  client_assertion: assertion,
  ...others,
})

export const FORM = { 'content-type': 'application/x-www-form-urlencoded' }

export const ask = (
  { send }: Pick<TestService, 'send'>,
  form: Readonly<Record<string, string>> | string,
  headers: Readonly<Record<string, string>> = {},
) =>
  send(undefined, {
    method: 'POST',
    url: '/oauth/token',
    headers: { ...FORM, ...headers },
    body: typeof form === 'string' ? form : new URLSearchParams({ ...form }).toString(),
  })
