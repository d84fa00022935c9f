import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { Identity } from '../security/access-token.ts'
import type { Context } from '../services/context.ts'
import { noteCaching } from './answer-form.ts'
import { beginCall, installAudit } from './audited-calls.ts'
import type { Authenticate } from './authenticate.ts'
import { checkAcceptable } from './fhir-answer.ts'
import { refuseNarrowed } from './narrowed-calls.ts'
import type { Throttle } from './rate-limits.ts'

interface Callers {
  readonly context: Context
  readonly authenticate: Authenticate
  readonly throttle: Throttle
}

/** Every request below this instance has a caller who may send it now, and is recorded. */
export function installCallers(
  app: FastifyInstance,
  { context, authenticate, throttle }: Callers,
): void {
  const identify = async (request: FastifyRequest, reply: FastifyReply): Promise<Identity> => {
    try {
      return await authenticate(request)
    } catch (error) {
      await throttle.failed(request, reply, error)
      throw error
    }
  }
  app.decorateRequest('caller')
  installAudit(app, context)
  app.addHook('onRequest', async (request, reply) => {
    noteCaching(reply)
    const call = beginCall(request, context)
    request.identity = await identify(request, reply)
    request.caller = { ...request.identity, call }
    await throttle.client(request, reply, request.identity)
    refuseNarrowed(request, request.identity)
    if (request.routeOptions.config.anyAnswer !== true) checkAcceptable(request)
  })
}
