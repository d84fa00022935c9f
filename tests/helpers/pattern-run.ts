import { Worker } from 'node:worker_threads'

/** A text that a pattern nearly matches: the beginning, a part of 10^5 characters, and an end that spoils it. */
export interface NearMiss {
  readonly source: string
  readonly flags: string
  readonly before: string
  readonly pumped: string
  readonly after: string
}

const LENGTH = 100_000
/** A match of so many characters takes far less than 10 ms when it goes over them once. */
const HANG_MS = 2_000

const MATCH = `
const { parentPort } = require('node:worker_threads')
parentPort.on('message', ({ source, flags, before, pumped, after }) => {
  const text = before + pumped.repeat(Math.ceil(${LENGTH} / pumped.length)) + after
  const pattern = new RegExp(source, flags)
  pattern.test(text)
  parentPort.postMessage('done')
})
`

/** Matches each in a worker, and returns those that hold it. */
export async function hanging(misses: readonly NearMiss[]): Promise<NearMiss[]> {
  const found: NearMiss[] = []
  let worker = new Worker(MATCH, { eval: true })
  for (const miss of misses) {
    if (found.some(({ source, flags }) => source === miss.source && flags === miss.flags)) continue
    if (await answers(worker, miss)) continue
    await worker.terminate()
    worker = new Worker(MATCH, { eval: true })
    // A machine that was busy is no hang.
    if (await answers(worker, miss)) continue
    found.push(miss)
    await worker.terminate()
    worker = new Worker(MATCH, { eval: true })
  }
  await worker.terminate()
  return found
}

const answers = (worker: Worker, miss: NearMiss): Promise<boolean> =>
  new Promise((resolve) => {
    const timer = setTimeout(() => end(false), HANG_MS)
    const end = (answered: boolean) => {
      clearTimeout(timer)
      worker.removeAllListeners('message')
      resolve(answered)
    }
    worker.once('message', () => end(true))
    worker.postMessage(miss, [])
  })
