import { REGISTRY } from './registry.ts'

/** Where the service is, of its FHIR base. */
export const originOf = (baseUrl: string): string => baseUrl.replace(/\/fhir$/, '')

/** Addresses of the token endpoint and of the public keys of the service. */
export const tokenUrl = (origin: string): string => `${origin}/oauth/token`
export const publicKeysUrl = (origin: string): string => `${origin}/oauth/jwks`

/** What SMART App Launch 2.2 asks a server to say about itself: backend services, no launch. */
export const smartConfiguration = (origin: string): Record<string, string | string[]> => ({
  token_endpoint: tokenUrl(origin),
  jwks_uri: publicKeysUrl(origin),
  grant_types_supported: ['client_credentials'],
  token_endpoint_auth_methods_supported: ['private_key_jwt'],
  token_endpoint_auth_signing_alg_values_supported: ['ES384', 'RS384'],
  scopes_supported: [
    'system/*.cruds',
    'system/*.rs',
    ...REGISTRY.map(
      ({ type, interactions, togetherOnly }) =>
        `system/${type}.${interactions.includes('create') || togetherOnly === true ? 'cruds' : 'rs'}`,
    ),
  ],
  // Every server names it (SMART App Launch 2.2, 8.1.1.1), also one without an authorization endpoint.
  code_challenge_methods_supported: ['S256'],
  capabilities: ['client-confidential-asymmetric', 'permission-v2'],
})
