import { setImmediate as turn } from 'node:timers/promises'
import Fastify from 'fastify'
import { expect, test } from 'vitest'
import { streamedAnswer } from '../../src/http/streamed-answer.ts'
import type { Sink } from '../../src/services/what-if.ts'

const CHUNK = 'x'.repeat(65_536)

/** A server with one answer that is made so; what it was told of cuts and how the making ended. */
async function serving(make: (sink: Sink) => Promise<void>) {
  const cuts: unknown[] = []
  let ended: (how: unknown) => void = () => {}
  const end = new Promise<unknown>((resolve) => {
    ended = resolve
  })
  // The client may hold a connection open that it has not used yet.
  const app = Fastify({ forceCloseConnections: true })
  app.get('/', async (_request, reply) => {
    const made = (sink: Sink) => {
      const work = make(sink)
      work.then(
        () => ended('whole'),
        (error: unknown) => ended(error),
      )
      return work
    }
    return reply.send(await streamedAnswer(reply, made, (error) => cuts.push(error)))
  })
  const url = await app.listen({ port: 0, host: '127.0.0.1' })
  return { url, cuts, end, close: () => app.close() }
}

test('an answer arrives whole, in the order it was made', async () => {
  const { url, cuts, end, close } = await serving(async ({ write }) => {
    for (const part of ['one ', 'two ', 'three']) await write(part)
  })

  const text = await (await fetch(url)).text()
  await close()

  expect(text).toBe('one two three')
  expect([await end, cuts]).toEqual(['whole', []])
})

test('it is made no further when the client goes away', async () => {
  const { url, cuts, end, close } = await serving(async ({ write, signal }) => {
    for (;;) {
      signal.throwIfAborted()
      await write(CHUNK)
    }
  })
  const gone = new AbortController()
  const response = await fetch(url, { signal: gone.signal })
  await response.body?.getReader().read()

  gone.abort()

  expect(await end).toMatchObject({ name: 'AbortError' })
  expect(cuts).toEqual([])
  await close()
})

test('it is made no faster than it is read', async () => {
  let made = 0
  const { url, end, close } = await serving(async ({ write, signal }) => {
    for (; made < 4_096; made += 1) {
      signal.throwIfAborted()
      await write(CHUNK)
    }
  })
  const gone = new AbortController()
  const response = await fetch(url, { signal: gone.signal })
  let before = -1
  while (made !== before) {
    before = made
    for (let pause = 0; pause < 200; pause += 1) await turn()
  }

  // Of 256 MB only what the buffers between the two hold.
  expect(response.status).toBe(200)
  expect(made).toBeLessThan(1_024)
  gone.abort()
  await end
  await close()
})

test('an answer that fails on the way is cut off, and the failure is told', async () => {
  const failure = new Error('invented')
  const { url, cuts, close } = await serving(async ({ write }) => {
    await write('half')
    throw failure
  })

  await expect(fetch(url).then((response) => response.text())).rejects.toThrow(
    /terminated|fetch failed/,
  )
  expect(cuts).toEqual([failure])
  await close()
})

test('one that fails before its start is answered as any failure', async () => {
  const { url, cuts, close } = await serving(() => Promise.reject(new Error('invented')))

  const response = await fetch(url)
  await response.text()

  expect([response.status, cuts]).toEqual([500, []])
  await close()
})
