import helmet from '@fastify/helmet'
import Fastify, { type FastifyBaseLogger, type FastifyInstance, LogController } from 'fastify'
import { serializerCompiler, validatorCompiler } from 'fastify-type-provider-zod'
import { PROFILE_URLS } from './fhir/conformance/published.ts'
import { auditRoutes } from './http/audit-routes.ts'
import { beginCall, installAudit } from './http/audited-calls.ts'
import type { Authenticate } from './http/authenticate.ts'
import { installPretty, noteCaching } from './http/answer-form.ts'
import { binaryRoutes } from './http/binary-routes.ts'
import { installCors } from './http/cross-origin.ts'
import { answerBadAddress, installErrorHandler } from './http/error-handler.ts'
import { checkAcceptable } from './http/fhir-answer.ts'
import { installBodyParsers } from './http/fhir-body.ts'
import { everythingRoutes } from './http/everything-routes.ts'
import { exportRoutes } from './http/export-routes.ts'
import { fhirRoutes } from './http/fhir-routes.ts'
import { historyRoutes } from './http/history-routes.ts'
import { installOpenapi } from './http/openapi.ts'
import { libraryRoutes } from './http/library-routes.ts'
import { matchRoute } from './http/match-route.ts'
import { operationRoutes } from './http/operation-routes.ts'
import { publishedRoutes } from './http/published-routes.ts'
import { type OAuth, oauthRoutes } from './http/oauth-routes.ts'
import { installRequestId, requestId } from './http/request-id.ts'
import { patchRoutes } from './http/patch-routes.ts'
import { searchRoutes } from './http/search-routes.ts'
import { smartRoutes } from './http/smart-routes.ts'
import { validateRoute } from './http/validate-route.ts'
import { writeRoutes } from './http/write-routes.ts'
import { healthRoutes, metadataRoute } from './http/system-routes.ts'
import { answerUnreadable } from './http/unreadable-request.ts'
import type { Context } from './services/context.ts'

const BODY_LIMIT = 4 * 1_048_576
const REQUEST_TIMEOUT_MS = 30_000
const KEEP_ALIVE_MS = 65_000
const MAX_PARAM_LENGTH = 200

/** Everything the server consists of, in the order it takes effect. Starts nothing. */
export async function buildApp(
  context: Context,
  access: OAuth & { readonly authenticate: Authenticate },
  {
    logger,
    corsOrigins = [],
  }: { readonly logger?: FastifyBaseLogger; readonly corsOrigins?: readonly string[] } = {},
): Promise<FastifyInstance> {
  const app: FastifyInstance = Fastify({
    ...(logger === undefined ? {} : { loggerInstance: logger }),
    bodyLimit: BODY_LIMIT,
    requestTimeout: REQUEST_TIMEOUT_MS,
    keepAliveTimeout: KEEP_ALIVE_MS,
    forceCloseConnections: 'idle',
    return503OnClosing: true,
    logController: new LogController({ disableRequestLogging: true }),
    routerOptions: { maxParamLength: MAX_PARAM_LENGTH },
    genReqId: requestId,
    frameworkErrors: answerBadAddress,
    clientErrorHandler: answerUnreadable,
  })
  app.setValidatorCompiler(validatorCompiler)
  app.setSerializerCompiler(serializerCompiler)
  installErrorHandler(app)
  installBodyParsers(app)
  installRequestId(app)
  installPretty(app)
  app.addHook('onResponse', (request, reply, done) => {
    // One line a request: an address may hold a search for a name, so only the route is written.
    request.log.info(
      {
        method: request.method,
        route: request.routeOptions.url,
        status: reply.statusCode,
        ms: Math.round(reply.elapsedTime),
      },
      'answered',
    )
    done()
  })
  await installCors(app, corsOrigins)
  await app.register(helmet, { global: true, contentSecurityPolicy: false })
  await installOpenapi(app, context.software.split(' ')[1] ?? '')

  await app.register(healthRoutes, { context })
  await app.register(oauthRoutes, { oauth: access, prefix: '/oauth' })
  await app.register(smartRoutes, { baseUrl: context.baseUrl, prefix: '/fhir' })
  await app.register(publishedRoutes, { context, prefix: '/fhir' })
  await app.register(metadataRoute, {
    context,
    cors: corsOrigins.length > 0,
    prefix: '/fhir',
  })
  await app.register(
    async (fhir) => {
      fhir.decorateRequest('caller')
      installAudit(fhir, context)
      fhir.addHook('onRequest', async (request, reply) => {
        noteCaching(reply)
        const call = beginCall(request)
        request.identity = await access.authenticate(request)
        request.caller = { ...request.identity, call }
        if (request.routeOptions.config.anyAnswer !== true) checkAcceptable(request)
      })
      await fhir.register(operationRoutes, { context })
      await fhir.register(auditRoutes, { context })
      await fhir.register(libraryRoutes, { context })
      await fhir.register(matchRoute, { context })
      await fhir.register(validateRoute, { context, knownProfiles: PROFILE_URLS })
      await fhir.register(binaryRoutes, { context })
      await fhir.register(writeRoutes, { context })
      await fhir.register(patchRoutes, { context })
      await fhir.register(exportRoutes, { context })
      await fhir.register(everythingRoutes, { context })
      await fhir.register(historyRoutes, { context })
      await fhir.register(searchRoutes, { context })
      await fhir.register(fhirRoutes, { context })
    },
    { prefix: '/fhir' },
  )
  return app
}
