import Fastify from 'fastify'
import { Pool } from 'pg'
import { buildApp } from '../../src/app.ts'
import { bearerAuthentication } from '../../src/http/authenticate.ts'
import { openService } from '../../src/service.ts'
import { parseScopes } from '../../src/security/scopes.ts'
import { DEMO } from '../../src/services/clinic-setup.ts'

// One way to answer a read by id, in a process of its own: the service, the service without one of its
// parts, or the least that reads the same text with Fastify and pg. Says its port when it listens.

const [variant = 'full', databaseUrl = ''] = process.argv.slice(2)
const POOL = 4

/** Pool, prepared statement, text as stored; no token, scope, policy or audit. */
function bare(pipeline: boolean) {
  const pool = new Pool({ connectionString: databaseUrl, max: POOL, pipeline })
  const app = Fastify()
  app.get<{ Params: { type: string; id: string } }>('/fhir/:type/:id', async (request, reply) => {
    const { rows } = await pool.query<{ body: string }>({
      name: 'read',
      text: 'select body from resources where clinic_id = $1 and type = $2 and id = $3',
      values: [DEMO.clinic.clinicId, request.params.type, request.params.id],
    })
    return reply.type('application/fhir+json; charset=utf-8').send(rows[0]?.body)
  })
  return app
}

async function ours() {
  const { context, tokens } = await openService({
    databaseUrl,
    origin: 'http://127.0.0.1',
    tokenIssuer: undefined,
    tokenLifetimeSeconds: 3_600,
    poolSize: POOL,
    statementTimeoutMs: 60_000,
    answerLanguage: 'en',
  })
  const now = () => new Date()
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
      : bearerAuthentication(tokens, () => Promise.resolve(true), now)
  const audit =
    variant === 'no-audit' ? { ...context.audit, record: () => Promise.resolve() } : context.audit
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

const app =
  variant === 'bare' || variant === 'bare-pipelined' ? bare(variant !== 'bare') : await ours()
const origin = await app.listen({ port: 0, host: '127.0.0.1' })
process.stdout.write(`${origin}\n`)
