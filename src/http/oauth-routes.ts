import type { FastifyError } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { PublicKeySet } from '../security/access-token.ts'
import type { TokenCall } from '../services/token-audit.ts'
import type { TokenAnswer } from '../services/token-endpoint.ts'
import { type Pairs, TOKEN_FORM, type TokenError } from '../services/token-request.ts'
import { formContent } from './described.ts'
import { traceOf } from './error-handler.ts'
import { formBody } from './fhir-body.ts'

/** An assertion of 8 KB, a list of scopes, and room. */
const BODY_LIMIT = 32_768
const KEYS_FRESH_S = 300

/** Always the same words: what was wrong with an assertion helps whoever forges one. */
const SAID: Readonly<Record<TokenError | 'server_error', string>> = {
  invalid_request: 'The request is not a token request of the client credentials grant.',
  invalid_client: 'The client is not authenticated.',
  invalid_scope: 'Nothing of the scope can be granted.',
  unsupported_grant_type: 'The grant type must be client_credentials.',
  server_error: 'The request could not be answered.',
}

const Granted = z.object({
  access_token: z.string(),
  token_type: z.literal('bearer'),
  expires_in: z.number().int(),
  scope: z.string(),
})
const Refused = z.object({ error: z.string(), error_description: z.string() })
const Keys = z.object({ keys: z.array(z.record(z.string(), z.string())) })

const refusal = (error: keyof typeof SAID) => ({ error, error_description: SAID[error] })

export interface OAuth {
  readonly requestToken: (pairs: Pairs, call: TokenCall) => Promise<TokenAnswer>
  readonly publicKeys: () => Promise<PublicKeySet>
}

/** SMART Backend Services; errors are those of RFC 6749, not OperationOutcomes. */
export const oauthRoutes: FastifyPluginAsyncZod<{ oauth: OAuth }> = async (app, { oauth }) => {
  app.setErrorHandler<FastifyError>((error, request, reply) => {
    const status = 'status' in error ? Number(error.status) : (error.statusCode ?? 500)
    const foreseen = status >= 400 && status < 500
    if (!foreseen) request.log.error({ err: traceOf(error) }, 'request failed')
    return reply
      .status(foreseen ? status : 500)
      .headers({ 'cache-control': 'no-store', pragma: 'no-cache' })
      .send(refusal(foreseen ? 'invalid_request' : 'server_error'))
  })

  app.route({
    method: 'POST',
    url: '/token',
    bodyLimit: BODY_LIMIT,
    schema: {
      tags: ['SMART'],
      operationId: 'token',
      summary: 'An access token for a registered system (SMART Backend Services)',
      description:
        'A form; each name at most once. Scopes of a type may have a search part (category=system|code). Whoever authenticates in another way is refused.',
      described: {
        body: {
          description: 'A token request of the client credentials grant.',
          required: true,
          content: { 'application/x-www-form-urlencoded': formContent(TOKEN_FORM) },
        },
      },
      consumes: ['application/x-www-form-urlencoded'],
      response: { 200: Granted, 400: Refused, 401: Refused, 413: Refused, 415: Refused },
    },
    handler: async (request, reply) => {
      reply.headers({ 'cache-control': 'no-store', pragma: 'no-cache' })
      const { authorization } = request.headers
      if (authorization !== undefined) {
        // Answered with the scheme that was tried (RFC 6749 5.2), which is not taken here.
        reply.header('www-authenticate', /^basic\b/i.test(authorization) ? 'Basic' : 'Bearer')
        return reply.status(401).send(refusal('invalid_client'))
      }
      const answer = await oauth.requestToken(formBody(request), {
        request: request.id,
        address: request.ip,
      })
      if ('error' in answer) return reply.status(400).send(refusal(answer.error))
      return reply.send({
        access_token: answer.accessToken,
        token_type: 'bearer' as const,
        expires_in: answer.expiresInS,
        scope: answer.scope,
      })
    },
  })

  app.route({
    method: 'GET',
    url: '/jwks',
    schema: {
      tags: ['SMART'],
      operationId: 'publicKeys',
      summary: 'The keys that access tokens are signed with',
      response: { 200: Keys },
    },
    handler: async (_request, reply) => {
      reply.header('cache-control', `public, max-age=${KEYS_FRESH_S}`)
      const { keys } = await oauth.publicKeys()
      return reply.send({ keys: keys.map((key) => ({ ...key })) })
    },
  })
}
