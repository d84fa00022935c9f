import { randomUUID } from 'node:crypto'
import { readConfig } from './config.ts'
import { sharedDatabase } from './database-source.ts'
import { originOf } from './listening.ts'
import { explainFailures } from './plain-failures.ts'
import { verifyAllLogs } from './services/audit-verification.ts'
import { checkpointKeysOf } from './services/checkpoints.ts'
import { openDatabase } from './storage/database.ts'
import { migrate } from './storage/migrate.ts'

explainFailures()

// npm run --silent audit:verify: one line for each clinic; ends with 1 when something is wrong with a log.

const config = readConfig(process.env)
const source = await sharedDatabase(config)
try {
  await migrate(source.url)
  const db = openDatabase({ ...config, url: source.url, poolSize: 1 })
  try {
    const made = { newId: randomUUID, now: () => new Date() }
    const checkpointKeys = await checkpointKeysOf(db, made)
    const baseUrl = `${originOf(config, config.port)}/fhir`
    for await (const { isValid, line } of verifyAllLogs({ ...made, db, checkpointKeys, baseUrl })) {
      process.stdout.write(`${line}\n`)
      if (!isValid) process.exitCode = 1
    }
  } finally {
    await db.close()
  }
} finally {
  await source.release()
}
