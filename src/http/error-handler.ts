import type { FastifyError, FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { AppError, type ErrorKind } from '../errors.ts'
import { toOutcome } from '../fhir/outcome.ts'

export const FHIR_JSON = 'application/fhir+json; charset=utf-8'

/** What Fastify itself refuses, in our words: its own may quote what was sent. */
const REFUSED: Readonly<Record<number, readonly [ErrorKind, string]>> = {
  400: ['invalid-request', 'The request cannot be read.'],
  404: ['not-found', 'There is nothing at this address.'],
  405: ['method-not-allowed', 'This method is not supported here.'],
  406: ['not-acceptable', 'Answers are application/fhir+json.'],
  413: ['too-large', 'The body is too large.'],
  414: ['invalid-request', 'The address is too long.'],
  415: ['unsupported-media-type', 'The body must be application/fhir+json.'],
  429: ['throttled', 'Too many requests.'],
}

/** The one place that answers errors. */
export function installErrorHandler(app: FastifyInstance): void {
  app.setErrorHandler<FastifyError>((error, request, reply) => answer(error, request, reply))
  app.setNotFoundHandler((request, reply) =>
    answer(new AppError('not-found', 'There is nothing at this address.'), request, reply),
  )
}

function answer(thrown: unknown, request: FastifyRequest, reply: FastifyReply): FastifyReply {
  const { status, outcome } = toOutcome(known(thrown))
  if (status >= 500) request.log.error({ err: traceOf(thrown) }, 'request failed')
  if (status === 401) reply.header('www-authenticate', 'Bearer')
  return reply.status(status).type(FHIR_JSON).send(JSON.stringify(outcome))
}

function known(thrown: unknown): unknown {
  if (thrown instanceof AppError || !(thrown instanceof Error)) return thrown
  const status = 'statusCode' in thrown ? thrown.statusCode : undefined
  const refused = typeof status === 'number' ? REFUSED[status] : undefined
  return refused === undefined ? thrown : new AppError(...refused)
}

/** Never the message: that of a failed query quotes its parameters. */
export function traceOf(thrown: unknown): object {
  if (!(thrown instanceof Error)) return { name: typeof thrown }
  const frames = (thrown.stack ?? '').split('\n').filter((line) => /^\s+at /.test(line))
  return {
    name: thrown.name,
    code: 'code' in thrown ? thrown.code : undefined,
    frames: frames.slice(0, 8).map((frame) => frame.trim()),
  }
}
