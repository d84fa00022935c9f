import { randomUUID } from 'node:crypto'
import type { IncomingMessage } from 'node:http'
import type { FastifyInstance } from 'fastify'

const HEADER = 'x-request-id'
/** What may stand in a line of a log and in a header without being escaped. */
const SAFE = /^[A-Za-z0-9.\-_]{1,64}$/
/** What may be sent back though it is not kept: printable and short. */
const PRINTABLE = /^[\x20-\x7e]{1,128}$/

const sentIn = ({ headers }: Pick<IncomingMessage, 'headers'>): string | undefined =>
  [headers[HEADER] ?? []].flat()[0]

/** The name of a request: the caller's own where it is safe. */
export function requestId(raw: Pick<IncomingMessage, 'headers'>): string {
  const sent = sentIn(raw)
  return sent !== undefined && SAFE.test(sent) ? sent : randomUUID()
}

/** Every answer carries the name of its request; one that replaced the caller's, also the caller's. */
export function installRequestId(app: FastifyInstance): void {
  app.addHook('onRequest', (request, reply, done) => {
    reply.header(HEADER, request.id)
    const sent = sentIn(request.raw)
    if (sent !== undefined && sent !== request.id && PRINTABLE.test(sent))
      reply.header('x-correlation-id', sent)
    done()
  })
}
