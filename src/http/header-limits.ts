import type { FastifyInstance, FastifyRequest } from 'fastify'
import { AppError } from '../errors.ts'

/** Bytes of the request line and all headers: a search in an address, a token of 8 KB, and room. */
export const MAX_HEADER_BYTES = 16_384

/** An honest client with a proxy or two sends about 30. Node itself would drop what is beyond 2,000 unseen. */
export const MAX_HEADERS = 100

/** May be given once: of two, Node keeps the first or joins them, and a proxy before us may read the other. */
const ONCE = new Set([
  'authorization',
  'content-length',
  'content-type',
  'host',
  'idempotency-key',
  'if-modified-since',
  'if-none-exist',
  'purpose-of-use',
  'x-provenance',
  'x-request-id',
])

/** Refuses headers that are too many or have two meanings, before anything reads them. */
export function installHeaderLimits(app: FastifyInstance): void {
  app.addHook('onRequest', async (request) => {
    const names = namesIn(request)
    if (names.length > MAX_HEADERS)
      throw new AppError('headers-too-large', `There are more than ${MAX_HEADERS} headers.`)
    const twice = names.find((name, index) => ONCE.has(name) && names.indexOf(name) < index)
    if (twice === undefined) return
    throw new AppError('invalid-request', 'A header is given twice.', [
      {
        severity: 'error',
        code: 'structure',
        expression: `http."${twice}"`,
        rule: 'header-once',
        text: `The header ${twice} may be given once.`,
      },
    ])
  })
}

/** Names stand at the even places of the headers as they were sent. */
const namesIn = ({ raw }: FastifyRequest): readonly string[] =>
  raw.rawHeaders.filter((_text, index) => index % 2 === 0).map((name) => name.toLowerCase())
