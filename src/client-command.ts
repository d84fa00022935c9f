import { randomUUID } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { parseArgs } from 'node:util'
import { z } from 'zod'
import { readConfig } from './config.ts'
import { sharedDatabase } from './database-source.ts'
import { REGIMES } from './domain/law/consent-gate.ts'
import { AppError } from './errors.ts'
import { explainFailures } from './plain-failures.ts'
import { addClient, changeKeys } from './services/client-command.ts'
import { recordCommand } from './services/command-audit.ts'
import { shownClient } from './services/clients.ts'
import { listClients, revokeClient } from './storage/clients.ts'
import { openDatabase } from './storage/database.ts'
import { migrate } from './storage/migrate.ts'

explainFailures()

const USAGE = `Registers the systems that may ask for a token (SMART Backend Services).

  npm run --silent client -- list
  npm run --silent client -- add --clinic CLINIC --name NAME --scope 'system/*.cruds' KEYS [PARTNER]
  npm run --silent client -- keys CLIENT --clinic CLINIC KEYS
  npm run --silent client -- revoke CLIENT --clinic CLINIC

  KEYS      --jwks FILE (a JSON Web Key Set of public keys) or --jwks-url URL
  PARTNER   --partner PARTNER, or for a new one --new-partner NAME --regime ${REGIMES.join('|')};
            without it the system is of the clinic's own staff, whose scope may hold admin
`

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    clinic: { type: 'string' },
    name: { type: 'string' },
    scope: { type: 'string' },
    jwks: { type: 'string' },
    'jwks-url': { type: 'string' },
    partner: { type: 'string' },
    'new-partner': { type: 'string' },
    regime: { type: 'string' },
    help: { type: 'boolean', short: 'h' },
  },
})

const Named = z.object({ clinicId: z.uuid(), clientId: z.string().min(1) })
const KeySet = z.looseObject({ keys: z.array(z.unknown()) })

const keys = () => ({
  ...(values.jwks === undefined
    ? {}
    : { jwks: KeySet.parse(JSON.parse(readFileSync(values.jwks, 'utf8'))) }),
  ...(values['jwks-url'] === undefined ? {} : { jwksUrl: values['jwks-url'] }),
})

async function run(): Promise<string> {
  const config = readConfig(process.env)
  const source = await sharedDatabase(config)
  try {
    await migrate(source.url)
    const db = openDatabase({ ...config, url: source.url, poolSize: 1 })
    const context = { db, now: () => new Date(), newId: randomUUID, origins: config.jwksOrigins }
    const [command, clientId] = positionals
    try {
      if (command === 'list')
        return (await db.asOwner(listClients))
          .map((one) => JSON.stringify({ clinicId: one.clinicId, ...shownClient(one) }))
          .join('\n')
      if (command === 'add') {
        const added = await addClient(context, { ...values, ...keys() })
        await recordCommand(context, {
          clinicId: values.clinic,
          did: 'client-registered',
          client: added,
        })
        return added
      }
      const named = Named.safeParse({ clinicId: values.clinic, clientId })
      if (!named.success || (command !== 'keys' && command !== 'revoke')) throw new Error(USAGE)
      const at = context.now().toISOString()
      const done =
        command === 'keys'
          ? await changeKeys(context, { ...named.data, ...keys() })
          : await db.asOwner((tx) => revokeClient(tx, { ...named.data, at }))
      if (!done) throw new Error('There is no such client.')
      const did = command === 'keys' ? 'client-keys-changed' : 'client-revoked'
      await recordCommand(context, { clinicId: values.clinic, did, client: clientId })
      return command === 'keys' ? 'The keys are changed.' : 'The client is revoked.'
    } finally {
      await db.close()
    }
  } finally {
    await source.release()
  }
}

const said = (error: unknown): string =>
  error instanceof AppError
    ? [error.message, ...error.faults.map((one) => `- ${one.expression}: ${one.text}`)].join('\n')
    : error instanceof Error
      ? error.message
      : String(error)

if (values.help === true || positionals.length === 0) process.stdout.write(USAGE)
else
  try {
    process.stdout.write(`${await run()}\n`)
  } catch (error) {
    process.stderr.write(`${said(error)}\n`)
    process.exitCode = 1
  }
