import { randomUUID } from 'node:crypto'
import { parseArgs } from 'node:util'
import { z } from 'zod'
import { LONGEST_TOKEN_SECONDS, readConfig } from './config.ts'
import { sharedDatabase } from './database-source.ts'
import { explainFailures } from './plain-failures.ts'
import { tokensOf } from './service-tokens.ts'
import { listClients } from './storage/clients.ts'
import { openDatabase } from './storage/database.ts'
import { migrate } from './storage/migrate.ts'
import { issueToken } from './services/token.ts'

explainFailures()

const USAGE = `Prints an access token for a registered client system.

  npm run --silent token -- CLIENT [--scope 'system/Observation.rs …'] [--lifetime SECONDS]

Without CLIENT it lists the clients.
`

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    scope: { type: 'string' },
    lifetime: { type: 'string' },
    help: { type: 'boolean', short: 'h' },
  },
})

const Lifetime = z.coerce.number().int().min(1).max(LONGEST_TOKEN_SECONDS)

function lifetimeOf(asked: string | undefined): { readonly tokenLifetimeSeconds?: number } {
  if (asked === undefined) return {}
  const { data } = Lifetime.safeParse(asked)
  if (data !== undefined) return { tokenLifetimeSeconds: data }
  throw new Error(`--lifetime is in whole seconds, from 1 to ${LONGEST_TOKEN_SECONDS}.`)
}

const config = { ...readConfig(process.env), ...lifetimeOf(values.lifetime) }
const [clientId] = positionals
const now = () => new Date()

if (values.help === true) process.stdout.write(USAGE)
else {
  const source = await sharedDatabase(config)
  try {
    await migrate(source.url)
    const db = openDatabase({ ...config, url: source.url, poolSize: 1 })
    try {
      const tokens = await tokensOf(db, { ...config, now })
      if (clientId === undefined) {
        const clients = await db.asOwner(listClients)
        const lines = clients.map(
          (client) =>
            `${client.clientId}\t${client.partnerId === null ? 'staff' : 'partner'}\t${client.scope}\t${client.name}`,
        )
        process.stdout.write(`${USAGE}\n${lines.join('\n')}\n`)
      } else {
        const token = await issueToken(
          { db, tokens, newId: randomUUID, now },
          { clientId, scope: values.scope },
        )
        process.stdout.write(`${token}\n`)
      }
    } finally {
      await db.close()
    }
  } finally {
    await source.release()
  }
}
