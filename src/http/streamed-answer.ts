import { once } from 'node:events'
import { PassThrough, type Readable } from 'node:stream'
import type { FastifyReply } from 'fastify'
import type { Sink } from '../services/what-if.ts'

/**
 * An answer that is sent while it is made, no faster than it is read. It is made no further when the client
 * goes away; one that fails on the way is cut off, so that nobody takes the part for the whole.
 *
 * @param onCut told why an answer was cut off
 * @returns when the first of it is there; throws what kept it from starting
 */
export function streamedAnswer(
  reply: FastifyReply,
  make: (sink: Sink) => Promise<void>,
  onCut: (error: unknown) => void,
): Promise<Readable> {
  const stream = new PassThrough()
  const gone = new AbortController()
  const { signal } = gone
  let started = false
  stream.once('close', () => gone.abort())
  reply.raw.once('close', () => stream.destroy())
  return new Promise((resolve, reject) => {
    const write = async (text: string): Promise<void> => {
      signal.throwIfAborted()
      const ready = stream.write(text)
      started = true
      resolve(stream)
      if (!ready) await once(stream, 'drain', { signal })
    }
    make({ write, signal }).then(
      () => stream.end(),
      (error: unknown) => {
        reject(error)
        if (started && !signal.aborted) onCut(error)
        stream.destroy()
      },
    )
  })
}
