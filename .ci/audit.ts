// Reads what `npm audit --json` says. Fails for a vulnerability that is high or critical; a registry that does not
// answer says nothing either way, which is one line and no failure.
import { readFileSync } from 'node:fs'
import { z } from 'zod'

const Report = z.object({
  metadata: z.object({
    vulnerabilities: z.object({ high: z.number(), critical: z.number(), total: z.number() }),
  }),
})

function reportIn(text: string): z.infer<typeof Report> | undefined {
  try {
    return Report.safeParse(JSON.parse(text)).data
  } catch {
    return undefined
  }
}

const report = reportIn(readFileSync(0, 'utf8'))
if (report === undefined) process.stdout.write('dependency audit: not answered by the registry\n')
else {
  const { high, critical, total } = report.metadata.vulnerabilities
  process.stdout.write(`dependency audit: ${critical} critical, ${high} high, ${total} in all\n`)
  if (high + critical > 0) process.exitCode = 1
}
