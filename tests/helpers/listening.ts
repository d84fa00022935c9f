import { listeningService } from '../../src/listening.ts'
import type { Service } from '../../src/service.ts'
import { DEMO } from '../../src/services/clinic-setup.ts'
import { issueToken } from '../../src/services/token.ts'
import { testDatabase } from './database.ts'

export interface Listening {
  readonly service: Service
  /** The FHIR base. */
  readonly base: string
  /** Of the demo partner, or of the demo clinic's staff. */
  readonly token: string
  readonly close: () => Promise<void>
}

/** The service on a database and a port of its own, for clients that speak HTTP; at one time, or the real one. */
export async function listeningFor(client: 'partner' | 'staff', at?: string): Promise<Listening> {
  const { url, drop } = await testDatabase()
  const service = await listeningService(
    {
      host: '127.0.0.1',
      port: 0,
      baseUrl: undefined,
      tokenIssuer: undefined,
      tokenLifetimeSeconds: 3_600,
      poolSize: 4,
      statementTimeoutMs: 10_000,
      answerLanguage: 'en',
    },
    url,
    at === undefined ? {} : { now: () => new Date(at) },
  )
  const token = await issueToken(
    { ...service.context, tokens: service.tokens },
    { clientId: DEMO.clients[client], scope: undefined },
  )
  const close = async () => {
    await service.close()
    await drop()
  }
  return { service, base: `${service.origin}/fhir`, token, close }
}
