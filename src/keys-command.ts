import { randomUUID } from 'node:crypto'
import { readConfig } from './config.ts'
import { sharedDatabase } from './database-source.ts'
import { explainFailures } from './plain-failures.ts'
import { recordCommand } from './services/command-audit.ts'
import { keysInForce, retireSigningKey, rotateSigningKey } from './services/signing-keys.ts'
import { openDatabase } from './storage/database.ts'
import { migrate } from './storage/migrate.ts'
import { listSigningKeys } from './storage/signing-keys.ts'

explainFailures()

const USAGE = `The keys that sign access tokens; running processes follow within a minute.

  npm run --silent keys -- list
  npm run --silent keys -- rotate        a new key signs in a minute, the old ones verify for two hours more
  npm run --silent keys -- retire KEY    at once, when others may know it: rotate first, its tokens are refused
`

const made = { newId: randomUUID, now: () => new Date() }

async function run([command, keyId = '']: readonly string[]): Promise<string> {
  const config = readConfig(process.env)
  const source = await sharedDatabase(config)
  try {
    await migrate(source.url)
    const db = openDatabase({ ...config, url: source.url, poolSize: 1 })
    try {
      if (command === 'rotate') await rotateSigningKey(db, made)
      else if (command === 'retire') {
        if (!(await retireSigningKey(db, keyId, made)))
          throw new Error('There is no such key, or no other that signs in its place.')
      } else if (command !== 'list') throw new Error(USAGE)
      if (command !== 'list')
        await recordCommand({ db, ...made }, { did: `signing-key-${command}` })
      const keys = keysInForce(await db.asOwner(listSigningKeys), made.now())
      return keys
        .map((key, place) =>
          [key.keyId, place === 0 ? 'signs' : 'verifies', key.createdAt, key.retiredAt ?? ''].join(
            '\t',
          ),
        )
        .join('\n')
    } finally {
      await db.close()
    }
  } finally {
    await source.release()
  }
}

try {
  process.stdout.write(`${await run(process.argv.slice(2))}\n`)
} catch (error) {
  process.stderr.write(`${error instanceof Error ? error.message : String(error)}\n`)
  process.exitCode = 1
}
