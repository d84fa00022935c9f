import type { FastifyInstance } from 'fastify'
import { buildApp } from '#service/app.ts'
import { bearerAuthentication } from '#service/http/authenticate.ts'
import { parseScopes } from '#service/security/scopes.ts'
import type { Service } from '#service/service.ts'
import { DEMO } from '#service/services/clinic-setup.ts'

export type Variant = 'full' | 'no-audit' | 'no-token'

/** The service beside another of the same database and keys, whole or without one of its parts. */
export function serviceVariant(
  { context, tokens }: Pick<Service, 'context' | 'tokens'>,
  variant: Variant,
): Promise<FastifyInstance> {
  const nobody = {
    clinicId: DEMO.clinic.clinicId,
    clientId: DEMO.clients.staff,
    tokenId: 'none',
    expiresAtMs: Number.MAX_SAFE_INTEGER,
    scopes: parseScopes('system/*.rs') ?? [],
  }
  const authenticate =
    variant === 'no-token'
      ? () => Promise.resolve(nobody)
      : bearerAuthentication(
          tokens,
          () => Promise.resolve(true),
          () => new Date(),
        )
  const audit =
    variant === 'no-audit'
      ? { ...context.audit, record: () => Promise.resolve(), recordAtOnce: () => Promise.resolve() }
      : context.audit
  return buildApp(
    { ...context, audit },
    {
      authenticate,
      authenticateCds: authenticate,
      requestToken: () => Promise.reject(new Error('none')),
      publicKeys: () => tokens.publicKeys(),
      staff: {
        signIn: () => Promise.resolve(undefined),
        member: () => Promise.resolve(undefined),
        signOut: () => Promise.resolve(),
      },
    },
  )
}
