import Fastify from 'fastify'
import { Pool } from 'pg'
import { openService } from '#service/service.ts'
import { DEMO } from '#service/services/clinic-setup.ts'
import { serviceVariant, type Variant } from './service-variant.ts'

// One way to answer a read by id, in a process of its own: the service, the service without one of its
// parts, or the least that reads the same text with Fastify and pg. Says its port when it listens.

const [asked = 'full', databaseUrl = ''] = process.argv.slice(2)
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

async function ours(variant: Variant) {
  const service = await openService({
    databaseUrl,
    origin: 'http://127.0.0.1',
    tokenIssuer: undefined,
    tokenLifetimeSeconds: 3_600,
    poolSize: POOL,
    statementTimeoutMs: 60_000,
    answerLanguage: 'en',
  })
  return serviceVariant(service, variant)
}

const variantOf = (name: string): Variant =>
  name === 'no-audit' || name === 'no-token' ? name : 'full'

const app =
  asked === 'bare' || asked === 'bare-pipelined'
    ? bare(asked !== 'bare')
    : await ours(variantOf(asked))
const origin = await app.listen({ port: 0, host: '127.0.0.1' })
process.stdout.write(`${origin}\n`)
