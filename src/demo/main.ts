import { parseArgs } from 'node:util'
import type { Kept } from './answers.ts'
import { headings } from './page.ts'
import { play } from './play.ts'
import { enterStage, type Stage } from './stage.ts'

const terminal = process.stdout.isTTY && process.env['NO_COLOR'] === undefined
const heading = headings(terminal)
const print = (lines: readonly string[]) => process.stdout.write(`${lines.join('\n')}\n`)

const stopped = new Promise<void>((resolve) => {
  for (const signal of ['SIGINT', 'SIGTERM'] as const) process.on(signal, () => resolve())
  // Nobody reads on, as behind `| head`: what was started must still be stopped.
  process.stdout.on('error', () => resolve())
})

async function run(): Promise<void> {
  const { keep } = parseArgs({ options: { keep: { type: 'boolean', default: false } } }).values
  print(['Starting PostgreSQL and the service in a temporary folder …', ''])
  const stage = await enterStage()
  try {
    const interrupted = stopped.then(() => undefined)
    const kept = await Promise.race([play(stage, new Date(), { print, heading }), interrupted])
    if (kept === undefined) process.exitCode = 1
    else if (keep) await stay(stage, kept)
    else print(next('npm run demo -- --keep', 'the same, and it stays for you to ask'))
  } finally {
    await stage.leave()
  }
}

async function stay(stage: Stage, kept: Kept): Promise<void> {
  print(ready(stage, kept))
  await stopped
  print(['', 'Stopped; the temporary database is gone.'])
}

const next = (command: string, what: string): string[] => [
  '',
  heading('Where to look next'),
  `  ${command}   ${what}`,
  '  npm start                the service on a database of its own',
  '  README.md                the first request, the way of a referral',
  '  seeds/README.md          the six children and what is expected of each',
]

/** Lines for a second terminal, with real identifiers. */
const ready = ({ origin, token }: Stage, { patientId, referralId, taskId }: Kept): string[] => [
  '',
  heading('The service stays until Ctrl-C. In another terminal:'),
  '',
  `FHIR=${origin}/fhir`,
  `TOKEN=${token}`,
  ...[
    `Task/${taskId}`,
    `Observation?patient=${patientId}&code=orthosis-suitability`,
    `RiskAssessment?patient=${patientId}`,
    `ServiceRequest/${referralId}/\\$fitting-plan`,
  ].map((path) => `curl -s -H "Authorization: Bearer $TOKEN" "$FHIR/${path}"`),
  'curl -s "$FHIR/metadata"',
  '',
  `  Documentation: ${origin}/docs. The token is good for an hour.`,
]

try {
  await run()
} catch (error) {
  const why = error instanceof Error ? error.message : String(error)
  process.stderr.write(`The demo failed: ${why}\n`)
  process.exitCode = 1
}
