import { startEmbedded } from '../../src/storage/embedded.ts'

// A process of its own that starts the embedded server, says so and keeps it, until it is killed or told
// to fail. Arguments: the data folder, and "fail" to end by an error that nobody catches.

const [, , dataDir = '', mode] = process.argv

try {
  const { url } = await startEmbedded({ dataDir })
  process.stdout.write(`${JSON.stringify({ url, uid: process.getuid?.() })}\n`)
} catch (error) {
  process.stdout.write(`${JSON.stringify({ problem: String(error) })}\n`)
  process.exit(1)
}
if (mode === 'fail')
  setImmediate(() => {
    throw new Error('nobody catches this')
  })
setInterval(() => {}, 1_000)
