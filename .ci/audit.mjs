// Reads what `npm audit --json` says. Fails for a vulnerability that is high or critical; a registry that does not
// answer says nothing either way, which is one line and no failure.
import { readFileSync } from 'node:fs'

const counts = (() => {
  try {
    return JSON.parse(readFileSync(0, 'utf8')).metadata?.vulnerabilities
  } catch {
    return undefined
  }
})()

if (typeof counts?.high !== 'number' || typeof counts.critical !== 'number') {
  console.log('dependency audit: not answered by the registry')
} else {
  const { high, critical, total } = counts
  console.log(`dependency audit: ${critical} critical, ${high} high, ${total} in all`)
  if (high + critical > 0) process.exit(1)
}
