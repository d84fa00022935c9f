import { Worker } from 'node:worker_threads'

/** Runs beside the process, which cannot watch itself while a loop holds it. */
const WATCH = `
const { workerData } = require('node:worker_threads')
const seen = new Int32Array(workerData.seen)
let last = -1
let since = Date.now()
setInterval(() => {
  const now = Atomics.load(seen, 0)
  if (now !== last) { last = now; since = Date.now(); return }
  if (Date.now() - since < workerData.longestMs) return
  require('node:fs').writeSync(2, 'request ' + now + ' holds the process\\n')
  process.kill(process.pid, 'SIGKILL')
}, 250)
`

/** Ends the process, naming the request, when none follows for so long. */
export function watchdog(longestMs: number): {
  seen(index: number): void
  stop(): void
} {
  const shared = new SharedArrayBuffer(Int32Array.BYTES_PER_ELEMENT)
  const seen = new Int32Array(shared)
  const worker = new Worker(WATCH, { eval: true, workerData: { seen: shared, longestMs } })
  worker.unref()
  return {
    seen: (index) => {
      Atomics.store(seen, 0, index)
    },
    stop: () => void worker.terminate(),
  }
}
