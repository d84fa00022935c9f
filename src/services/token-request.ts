import { type AskedParameter, TEXT } from '../fhir/asked-parameter.ts'

/** RFC 6749 5.2. */
export type TokenError =
  | 'invalid_request'
  | 'invalid_client'
  | 'invalid_scope'
  | 'unsupported_grant_type'

export interface TokenRequest {
  readonly assertion: string
  readonly scope: string
  /** Need not be sent: the assertion says it. */
  readonly clientId: string | undefined
}

export const ASSERTION_TYPE = 'urn:ietf:params:oauth:client-assertion-type:jwt-bearer'

const GRANT = 'client_credentials'

/** The form of a token request, for whoever sends one (RFC 6749 4.4.2, RFC 7523 2.2). */
export const TOKEN_FORM: readonly AskedParameter[] = [
  {
    name: 'grant_type',
    description: 'The client credentials grant.',
    value: { type: 'string', enum: [GRANT] },
    required: true,
  },
  {
    name: 'scope',
    description:
      'SMART system scopes, separated by spaces. Granted is what is both asked for and registered.',
    value: TEXT,
    required: true,
  },
  {
    name: 'client_assertion_type',
    description: 'The assertion is a signed JWT.',
    value: { type: 'string', enum: [ASSERTION_TYPE] },
    required: true,
  },
  {
    name: 'client_assertion',
    description:
      'A JWT signed with ES384 or RS384, its iss and sub the client id, its aud this address, its exp no more than five minutes ahead, its jti never used before.',
    value: TEXT,
    required: true,
  },
  { name: 'client_id', description: 'Need not be sent: the assertion says it.', value: TEXT },
]

/** Ways to prove who one is that are not taken beside an assertion (RFC 6749 2.3). */
const OTHER_PROOFS = ['client_secret', 'assertion', 'code']

/** A form as it was sent, repeated names kept. */
export type Pairs = readonly (readonly [string, string])[]

/** Reads the form of a token request (RFC 6749 4.4.2, RFC 7523 2.2). */
export function readTokenRequest(
  pairs: Pairs,
): TokenRequest | { readonly error: TokenError; readonly reason: string } {
  // What is sent without a value counts as not sent (RFC 6749 3.2).
  const sent = pairs.filter(([, value]) => value !== '')
  const form = new Map(sent)
  const grant = form.get('grant_type')
  if (form.size !== sent.length || grant === undefined || OTHER_PROOFS.some((one) => form.has(one)))
    return { error: 'invalid_request', reason: 'unreadable-request' }
  if (grant !== GRANT) return { error: 'unsupported_grant_type', reason: 'other-grant' }
  const assertion = form.get('client_assertion')
  if (assertion === undefined || form.get('client_assertion_type') !== ASSERTION_TYPE)
    return { error: 'invalid_client', reason: 'no-assertion' }
  return { assertion, scope: form.get('scope') ?? '', clientId: form.get('client_id') }
}
