import { createServer, type RequestListener, type Server } from 'node:http'
import { afterEach, expect, test } from 'vitest'
import { dockerAnswers } from './database-server.ts'

let engine: Server | undefined

afterEach(() => {
  engine?.closeAllConnections()
  engine?.close()
})

async function engineThat(answers: RequestListener): Promise<string> {
  const server = createServer(answers)
  engine = server
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const address = server.address()
  return `tcp://127.0.0.1:${typeof address === 'object' ? address?.port : ''}`
}

test('an engine that answers its ping is used', async () => {
  const host = await engineThat((request, answer) => {
    answer.writeHead(request.url === '/_ping' ? 200 : 404).end('OK')
  })

  expect(await dockerAnswers(host)).toBe(true)
})

test('an engine that answers with an error is not used', async () => {
  const host = await engineThat((_, answer) => {
    answer.writeHead(500).end()
  })

  expect(await dockerAnswers(host)).toBe(false)
})

test('an engine that never answers is given up, not waited for', async () => {
  expect(await dockerAnswers(await engineThat(() => {}))).toBe(false)
})

test.for(['unix:///nowhere/docker.sock', 'tcp://127.0.0.1:1', 'ssh://somebody@127.0.0.1'])(
  'no engine at %s',
  async (host) => {
    expect(await dockerAnswers(host)).toBe(false)
  },
)
