import { once } from 'node:events'
import { connect } from 'node:net'

export interface RawAnswer {
  readonly status: number
  /** How many answers came: one request that counts as two is smuggled. */
  readonly answers: number
  readonly head: string
  readonly body: string
}

/** Writes bytes that no HTTP client would, and reads until the other end closes. */
export async function rawAnswer(
  port: number,
  ...parts: readonly (string | Buffer)[]
): Promise<RawAnswer> {
  const socket = connect(port, '127.0.0.1')
  const received: Buffer[] = []
  socket.on('data', (part: Buffer) => received.push(part))
  socket.on('error', () => {})
  for (const part of parts) socket.write(part)
  await once(socket, 'close')
  const text = Buffer.concat(received).toString('utf8')
  const [head = '', body = ''] = text.split('\r\n\r\n')
  return {
    status: Number(/^HTTP\/1\.1 (\d{3})/.exec(text)?.[1]),
    answers: text.split(/HTTP\/1\.1 \d{3} /).length - 1,
    head,
    body,
  }
}
