import { randomUUID } from 'node:crypto'
import { parseArgs } from 'node:util'
import { z } from 'zod'
import { readConfig } from './config.ts'
import { sharedDatabase } from './database-source.ts'
import { REGIMES } from './domain/law/consent-gate.ts'
import { originOf } from './listening.ts'
import { explainFailures } from './plain-failures.ts'
import { recordCommand } from './services/command-audit.ts'
import { settlePartner } from './services/partner-regimes.ts'
import { listPartners, setRegime } from './storage/clients.ts'
import { openDatabase } from './storage/database.ts'
import { migrate } from './storage/migrate.ts'

explainFailures()

const USAGE = `Says which law the content of a partner is under; it decides whether a consent must be on record, and which
records are open to the partner.

  npm run --silent partner -- CLINIC PARTNER --regime ${REGIMES.join('|')}

  part-c   an early intervention programme, or a provider under contract of one
  ferpa    a school
  hipaa    a practice or hospital that sends for treatment: no consent is asked for
  unknown  nobody has said: held to all of them

Without arguments it lists the partners.
`

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { regime: { type: 'string' }, help: { type: 'boolean', short: 'h' } },
})

const Asked = z.object({ clinicId: z.uuid(), partnerId: z.uuid(), regime: z.enum(REGIMES) })

async function run(): Promise<string> {
  const config = readConfig(process.env)
  const source = await sharedDatabase(config)
  try {
    await migrate(source.url)
    const db = openDatabase({ ...config, url: source.url, poolSize: 1 })
    try {
      if (positionals.length > 0) {
        const [clinicId, partnerId] = positionals
        const asked = Asked.safeParse({ clinicId, partnerId, regime: values.regime })
        if (!asked.success) throw new Error(USAGE)
        if (!(await db.asOwner((tx) => setRegime(tx, asked.data))))
          throw new Error('There is no such partner.')
        const baseUrl = `${originOf(config, config.port)}/fhir`
        await settlePartner({ db, now: () => new Date(), baseUrl }, asked.data)
        await recordCommand(
          { db, now: () => new Date(), newId: randomUUID },
          { clinicId: asked.data.clinicId, did: 'regime-set', partner: asked.data.partnerId },
        )
      }
      const partners = await db.asOwner(listPartners)
      return partners
        .map((one) => `${one.clinicId}\t${one.partnerId}\t${one.regime}\t${one.name}`)
        .join('\n')
    } finally {
      await db.close()
    }
  } finally {
    await source.release()
  }
}

if (values.help === true) process.stdout.write(USAGE)
else
  try {
    process.stdout.write(`${await run()}\n`)
  } catch (error) {
    process.stderr.write(`${error instanceof Error ? error.message : String(error)}\n`)
    process.exitCode = 1
  }
