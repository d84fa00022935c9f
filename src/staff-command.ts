import { randomUUID } from 'node:crypto'
import { parseArgs } from 'node:util'
import { readConfig } from './config.ts'
import { sharedDatabase } from './database-source.ts'
import { explainFailures } from './plain-failures.ts'
import { DEMO } from './services/clinic-setup.ts'
import { recordCommand } from './services/command-audit.ts'
import { addAccount, READING, renewPassword } from './services/staff-accounts.ts'
import { openDatabase } from './storage/database.ts'
import { migrate } from './storage/migrate.ts'
import { listAccounts } from './storage/staff.ts'

explainFailures()

const USAGE = `Says who of the clinic's staff may sign in to the pages.

  npm run --silent staff -- list
  npm run --silent staff -- add LOGIN --name NAME [--clinic CLINIC] [--scope '${READING}']
  npm run --silent staff -- password LOGIN

add and password print a new password, once. Without CLINIC the account is of the demo clinic.
An account is a client: npm run --silent client -- revoke CLIENT --clinic CLINIC ends it.
`

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    clinic: { type: 'string' },
    name: { type: 'string' },
    scope: { type: 'string' },
    help: { type: 'boolean', short: 'h' },
  },
})

async function run([command, login]: readonly string[]): Promise<string> {
  const source = await sharedDatabase(readConfig(process.env))
  try {
    await migrate(source.url)
    const db = openDatabase({ url: source.url, poolSize: 1, statementTimeoutMs: 10_000 })
    const context = { db, now: () => new Date(), newId: randomUUID }
    try {
      if (command === 'list')
        return (await db.asOwner(listAccounts)).map((one) => JSON.stringify(one)).join('\n')
      if (login === undefined) throw new Error(USAGE)
      if (command === 'add') {
        const clinicId = values.clinic ?? DEMO.clinic.clinicId
        const { name = '', scope } = values
        const { clientId, password } = await addAccount(context, { clinicId, login, name, scope })
        await recordCommand(context, { clinicId, did: 'account-added', client: clientId })
        return password
      }
      if (command !== 'password') throw new Error(USAGE)
      const { clinicId, clientId, password } = await renewPassword(context, login)
      await recordCommand(context, { clinicId, did: 'password-renewed', client: clientId })
      return password
    } finally {
      await db.close()
    }
  } finally {
    await source.release()
  }
}

if (values.help === true || positionals.length === 0) process.stdout.write(USAGE)
else
  try {
    process.stdout.write(`${await run(positionals)}\n`)
  } catch (error) {
    process.stderr.write(`${error instanceof Error ? error.message : String(error)}\n`)
    process.exitCode = 1
  }
