import { execFileSync } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { readEmbedded } from '../../src/storage/embedded.ts'
import { intake } from './intake.ts'
import { start, startTime } from './start.ts'
import { triageOfOne } from './triage.ts'
import { validation } from './validation.ts'

const ROOT = fileURLToPath(new URL('../..', import.meta.url))
const dataDir = mkdtempSync(join(tmpdir(), 'footing-bench-'))
const line = (name: string, value: string, wanted: string) =>
  process.stdout.write(`${name.padEnd(72)} ${value.padStart(10)}   ${wanted}\n`)

try {
  const one = triageOfOne()
  line('triage of one child, facts to findings: ms', one.ms.toFixed(2), 'up to 1')
  line('  the same as a share of that limit', one.ofLimit.toFixed(2), 'up to 1')

  const checked = await validation()
  line(
    'validation of a resource ÷ JSON.parse of it (time)',
    (1 / checked.ratio).toFixed(2),
    'up to 2',
  )

  const first = await start(dataDir)
  const token = execFileSync(
    process.execPath,
    ['--import', 'tsx', 'src/token-command.ts', 'demo-partner', '--lifetime', '3600'],
    { cwd: ROOT, encoding: 'utf8', env: { ...process.env, DATA_DIR: dataDir } },
  ).trim()
  await sendSeeds(first.origin, token)
  line(
    'resident memory after the six demo referrals: MB',
    first.residentMb().toFixed(0),
    'under 200',
  )

  const url = await readEmbedded(dataDir)
  if (url === undefined) throw new Error('The embedded server does not answer')
  const taken = await intake(first.origin, token, url)
  line(taken.name, taken.ratio.toFixed(2), 'at least 0.4, target 0.6')
  line('  a referral: ms', taken.workMs.toFixed(1), '')
  line('  the raw rows: ms', taken.limitMs.toFixed(1), '')
  line('  spread of the raw rounds', taken.spread.toFixed(2), 'up to 2.5, else void')
  line('resident memory after the intake rounds: MB', first.residentMb().toFixed(0), 'under 200')
  await first.stop()

  const startMs = await startTime(dataDir)
  line('start to first answer on an existing folder: s', (startMs / 1000).toFixed(2), 'under 5')
  line('  the same as a share of that limit', (startMs / 5000).toFixed(2), 'under 1')
} finally {
  rmSync(dataDir, { recursive: true, force: true })
}

async function sendSeeds(origin: string, token: string): Promise<void> {
  const folder = join(ROOT, 'seeds')
  for (const name of readdirSync(folder).filter((file) => file.endsWith('.json'))) {
    const text = readFileSync(join(folder, name), 'utf8')
    if (!text.includes('"transaction"')) continue
    const response = await fetch(`${origin}/fhir`, {
      method: 'POST',
      headers: { authorization: `Bearer ${token}`, 'content-type': 'application/fhir+json' },
      body: text,
    })
    if (response.status !== 200) throw new Error(`${name} was not taken: ${await response.text()}`)
  }
}
