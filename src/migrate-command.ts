import { readConfig } from './config.ts'
import { sharedDatabase } from './database-source.ts'
import { originOf } from './listening.ts'
import { explainFailures } from './plain-failures.ts'
import { reindex } from './services/reindex.ts'
import { openDatabase } from './storage/database.ts'
import { migrate } from './storage/migrate.ts'

explainFailures()

const config = readConfig(process.env)
const source = await sharedDatabase(config)
try {
  const applied = await migrate(source.url)
  process.stdout.write(applied === 0 ? 'Nothing to migrate.\n' : `${applied} migrations applied.\n`)
  const db = openDatabase({
    url: source.url,
    poolSize: 1,
    statementTimeoutMs: config.statementTimeoutMs,
  })
  try {
    const indexed = await reindex(db, `${originOf(config, config.port)}/fhir`)
    if (indexed > 0) process.stdout.write(`${indexed} resources indexed anew.\n`)
  } finally {
    await db.close()
  }
} finally {
  await source.release()
}
