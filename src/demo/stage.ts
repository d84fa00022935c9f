import { randomUUID } from 'node:crypto'
import { chmod, mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { listeningService } from '../listening.ts'
import { DEMO } from '../services/clinic-setup.ts'
import { issueToken } from '../services/token.ts'
import { startEmbedded } from '../storage/embedded.ts'

/** A running service on an empty database that is gone when the stage is left. */
export interface Stage {
  readonly origin: string
  /** For the records system of the demo partner. */
  readonly token: string
  readonly leave: () => Promise<void>
}

/** Enough for a whole page of curl lines. */
const TOKEN_LIFETIME_S = 3_600

export async function enterStage(): Promise<Stage> {
  const folder = await mkdtemp(join(tmpdir(), 'footing-demo-'))
  const leaving = [() => rm(folder, { recursive: true, force: true })]
  const leave = async () => {
    for (const step of leaving.splice(0).toReversed()) await step()
  }
  try {
    // Root's server runs as another user, who has to pass through; what is inside is closed by itself.
    await chmod(folder, 0o711)
    const database = await startEmbedded({ dataDir: join(folder, 'data') })
    leaving.push(database.stop)
    const service = await listeningService(
      {
        host: '127.0.0.1',
        port: 0,
        baseUrl: undefined,
        tokenIssuer: undefined,
        tokenLifetimeSeconds: TOKEN_LIFETIME_S,
        poolSize: 4,
        statementTimeoutMs: 10_000,
        answerLanguage: 'en',
      },
      database.url,
    )
    leaving.push(service.close)
    const token = await issueToken(
      { ...service.context, tokens: service.tokens, newId: randomUUID },
      { clientId: DEMO.clients.partner, scope: undefined },
    )
    return { origin: service.origin, token, leave }
  } catch (error) {
    await leave()
    throw error
  }
}
