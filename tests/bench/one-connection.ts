import { connect } from 'node:net'
import { once } from 'node:events'

export interface OneConnection {
  /** The body of an answer with status 200. One request at a time. */
  readonly get: (path: string) => Promise<string>
  readonly end: () => void
}

interface Asked {
  readonly answered: (body: string) => void
  readonly failed: (error: Error) => void
}

/**
 * One kept HTTP/1.1 connection that asks one GET after the other, with as little as the protocol needs: the client
 * must not be what is measured. Reads answers that tell their length.
 */
export async function oneConnection(origin: string, token: string): Promise<OneConnection> {
  const { hostname, port, host } = new URL(origin)
  const socket = connect({ host: hostname, port: Number(port), noDelay: true })
  await once(socket, 'connect')
  let asked: Asked | undefined
  let received: Buffer = Buffer.alloc(0)

  const give = (answer: Answer): void => {
    const waiting = asked
    asked = undefined
    received = Buffer.alloc(0)
    if (answer.isWell) waiting?.answered(answer.body)
    else waiting?.failed(new Error(answer.body))
  }
  const fail = (error: Error): void => asked?.failed(error)
  socket.on('data', (part: Buffer) => {
    received = received.length === 0 ? part : Buffer.concat([received, part])
    const answer = answerIn(received)
    if (answer !== undefined) give(answer)
  })
  socket.on('error', fail)
  socket.on('close', () => fail(new Error('The connection was closed')))

  return {
    get: (path) =>
      new Promise((answered, failed) => {
        asked = { answered, failed }
        if (socket.destroyed) return fail(new Error('The connection was closed'))
        socket.write(
          `GET ${path} HTTP/1.1\r\nHost: ${host}\r\nAuthorization: Bearer ${token}\r\n\r\n`,
          'latin1',
        )
      }),
    end: () => socket.destroy(),
  }
}

interface Answer {
  readonly isWell: boolean
  readonly body: string
}

/** Undefined until all of it has come. */
function answerIn(received: Buffer): Answer | undefined {
  const end = received.indexOf('\r\n\r\n')
  if (end < 0) return undefined
  const head = received.toString('latin1', 0, end)
  const length = /\r\ncontent-length: (\d+)/i.exec(head)?.[1]
  if (length === undefined) return { isWell: false, body: `does not tell its length: ${head}` }
  const from = end + 4
  if (received.length < from + Number(length)) return undefined
  return { isWell: head.startsWith('HTTP/1.1 200 '), body: received.toString('utf8', from) }
}
