import { pino } from 'pino'
import { readConfig } from './config.ts'
import { ownDatabase } from './database-source.ts'
import { listeningService } from './listening.ts'
import { explainFailures } from './plain-failures.ts'
import { DEMO } from './services/clinic-setup.ts'

const begun = explainFailures()

/** How long what is being answered may take once the service is told to stop. */
const STOP_WITHIN_MS = 20_000

const config = readConfig(process.env)
// To standard error: standard output is for people.
const logger = pino({ level: config.logLevel, base: null }, pino.destination(2))
const database = await ownDatabase(config, () => {
  logger.fatal('the database server ended')
  process.exit(1)
})

let service: Awaited<ReturnType<typeof listeningService>> | undefined
try {
  service = await listeningService(config, database.url, { logger })
} catch (error) {
  await database.release()
  throw error
}

for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => void stop())

async function stop(): Promise<void> {
  setTimeout(() => process.exit(1), STOP_WITHIN_MS).unref()
  await service?.close()
  await database.release()
}

begun()

const { origin } = service
process.stdout.write(`Footing answers on ${origin}/fhir

  Documentation   ${origin}/docs
  Capabilities    ${origin}/fhir/metadata
  A token         npm run --silent token -- ${DEMO.clients.partner}
                  (as a partner's records system; ${DEMO.clients.staff} for the clinic's own tools)

Decision support for a qualified professional, not a diagnosis. Stop with Ctrl-C.
`)
