import { readConfig } from './config.ts'
import { sharedDatabase } from './database-source.ts'
import { migrate } from './storage/migrate.ts'

const source = await sharedDatabase(readConfig(process.env))
try {
  const applied = await migrate(source.url)
  process.stdout.write(applied === 0 ? 'Nothing to migrate.\n' : `${applied} migrations applied.\n`)
} finally {
  await source.release()
}
