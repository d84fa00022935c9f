import type { FastifyError, FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import { AppError, type ErrorKind } from '../errors.ts'
import { toOutcome } from '../fhir/outcome.ts'
import { passingFailure } from '../services/passing-failure.ts'
import { type AllowedMethods, allowedMethods } from './allowed-methods.ts'
import { schemaRefusal } from './schema-faults.ts'

export const FHIR_JSON = 'application/fhir+json; charset=utf-8'

/** What Fastify itself refuses, in our words: its own may quote what was sent. */
const REFUSED: Readonly<Record<number, readonly [ErrorKind, string]>> = {
  400: ['invalid-request', 'The request cannot be read.'],
  404: ['not-found', 'There is nothing at this address.'],
  405: ['method-not-allowed', 'This method is not supported here.'],
  406: ['not-acceptable', 'Answers are application/fhir+json.'],
  413: ['too-large', 'The body is too large.'],
  414: ['invalid-request', 'The address is too long.'],
  415: ['unsupported-media-type', 'Only JSON is taken: the body must be application/fhir+json.'],
  429: ['throttled', 'Too many requests.'],
  431: ['headers-too-large', 'The headers are too long.'],
  503: ['unavailable', 'The service cannot answer now. Try again in a while.'],
}

/** Seconds after which to try again when nothing better is known. */
export const RETRY_S = 5

/** The one place that answers errors. Before any route: it learns from them what an address can do. */
export function installErrorHandler(app: FastifyInstance): void {
  const allowed = allowedMethods(app)
  app.setErrorHandler<FastifyError>((error, request, reply) => {
    // An id that can be none: nothing is there, or what is there has other methods.
    if (error.validationContext === 'params') return nothingThere(request, reply, allowed)
    const misfit = schemaRefusal(error)
    if (misfit !== undefined) return answer(misfit, request, reply)
    if (statusOf(error) === 405) reply.header('allow', othersThan(request, allowed).join(', '))
    return answer(error, request, reply)
  })
  app.setNotFoundHandler((request, reply) => nothingThere(request, reply, allowed))
}

/** For addresses that are refused before any handler is known, for instance `/fhir/%`. */
export const answerBadAddress = (
  error: FastifyError,
  request: FastifyRequest,
  reply: FastifyReply,
): void => {
  answer(error, request, reply.header('x-request-id', request.id))
}

/** A method that there is may be refused for one resource: Allow does not name what was refused. */
const othersThan = (request: FastifyRequest, allowed: AllowedMethods): readonly string[] =>
  [...allowed(request.url), 'OPTIONS'].filter((method) => method !== request.method)

/** No route: the address is unknown, or it is known and the method is not for it. */
function nothingThere(
  request: FastifyRequest,
  reply: FastifyReply,
  allowed: AllowedMethods,
): FastifyReply {
  const methods = allowed(request.url)
  if (methods.length === 0)
    return answer(new AppError('not-found', 'There is nothing at this address.'), request, reply)
  reply.header('allow', [...methods, 'OPTIONS'].join(', '))
  if (request.method === 'OPTIONS') return reply.status(204).send()
  const refusal = new AppError('method-not-allowed', 'This method is not supported here.')
  return answer(refusal, request, reply)
}

function answer(thrown: unknown, request: FastifyRequest, reply: FastifyReply): FastifyReply {
  const { status, outcome } = toOutcome(known(thrown))
  if (status === 503) {
    if (!reply.hasHeader('retry-after')) reply.header('retry-after', String(RETRY_S))
    request.log.warn({ code: codeOf(thrown) }, 'request could not be answered now')
  } else if (status >= 500) request.log.error({ err: traceOf(thrown) }, 'request failed')
  if (status === 401) reply.header('www-authenticate', 'Bearer')
  // A refusal is of no version, whatever had been said before it came to it.
  for (const name of ['etag', 'last-modified']) reply.removeHeader(name)
  return reply.status(status).type(FHIR_JSON).send(JSON.stringify(outcome))
}

const statusOf = (thrown: unknown): number | undefined => {
  if (thrown instanceof AppError) return thrown.status
  const status = thrown instanceof Error && 'statusCode' in thrown ? thrown.statusCode : undefined
  return typeof status === 'number' ? status : undefined
}

function known(thrown: unknown): unknown {
  if (thrown instanceof AppError) return thrown
  const passing = passingFailure(thrown)
  if (passing !== undefined) return passing
  const refused = REFUSED[statusOf(thrown) ?? 0]
  return refused === undefined ? thrown : new AppError(...refused)
}

/** Traces that were made: the logger of the service makes one of whatever it is given. */
const TRACES = new WeakSet<object>()

/** Never the message: that of a failed query quotes its parameters. */
export function traceOf(thrown: unknown): object {
  if (typeof thrown === 'object' && thrown !== null && TRACES.has(thrown)) return thrown
  if (!(thrown instanceof Error)) return { name: typeof thrown }
  const frames = (thrown.stack ?? '').split('\n').filter((line) => /^\s+at /.test(line))
  const trace = {
    name: thrown.name,
    code: codeOf(thrown),
    frames: frames.slice(0, 8).map((frame) => frame.trim()),
  }
  TRACES.add(trace)
  return trace
}

function codeOf(thrown: unknown): string | undefined {
  const code = thrown instanceof Error && 'code' in thrown ? thrown.code : undefined
  return typeof code === 'string' ? code : undefined
}
