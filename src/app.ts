import Fastify, { type FastifyBaseLogger, type FastifyInstance, LogController } from 'fastify'
import { serializerCompiler, validatorCompiler } from 'fastify-type-provider-zod'
import { profileUrls } from './fhir/conformance/published.ts'
import { originOf } from './fhir/smart-configuration.ts'
import { adviceRoutes } from './http/advice-routes.ts'
import { auditRoutes } from './http/audit-routes.ts'
import type { Authenticate } from './http/authenticate.ts'
import { installPretty } from './http/answer-form.ts'
import { binaryRoutes } from './http/binary-routes.ts'
import { installCallers } from './http/callers.ts'
import { cdsDiscovery, cdsRoutes } from './http/cds-routes.ts'
import { chartRoutes } from './http/chart-routes.ts'
import { clientRoutes } from './http/client-routes.ts'
import { deadLetterRoutes } from './http/dead-letter-routes.ts'
import { installCors } from './http/cross-origin.ts'
import { docrefRoutes } from './http/docref-routes.ts'
import { answerBadAddress, installErrorHandler, traceOf } from './http/error-handler.ts'
import { installBodyParsers, MAX_BODY_BYTES } from './http/fhir-body.ts'
import { everythingRoutes } from './http/everything-routes.ts'
import { documentRoutes } from './http/document-routes.ts'
import { exportRoutes } from './http/export-routes.ts'
import { extractRoutes } from './http/extract-routes.ts'
import { fhirRoutes } from './http/fhir-routes.ts'
import { installHeaderLimits, MAX_HEADER_BYTES } from './http/header-limits.ts'
import { historyRoutes } from './http/history-routes.ts'
import { installOpenapi } from './http/openapi.ts'
import { intakeRoutes } from './http/intake-routes.ts'
import { libraryRoutes } from './http/library-routes.ts'
import { loopRoutes } from './http/loop-routes.ts'
import { matchRoute } from './http/match-route.ts'
import { installLogLine } from './http/log-line.ts'
import { operationRoutes } from './http/operation-routes.ts'
import { type Capacity, installOverload } from './http/overload.ts'
import { publishedRoutes } from './http/published-routes.ts'
import { type OAuth, oauthRoutes } from './http/oauth-routes.ts'
import { installRateLimits, type RateLimits } from './http/rate-limits.ts'
import { installRequestId, requestId } from './http/request-id.ts'
import { pageRoutes, type Staff } from './http/page-routes.ts'
import { partnerRoutes } from './http/partner-routes.ts'
import { patchRoutes } from './http/patch-routes.ts'
import { searchRoutes } from './http/search-routes.ts'
import { installSecurityHeaders } from './http/security-headers.ts'
import { smartRoutes } from './http/smart-routes.ts'
import { subscriptionRoutes } from './http/subscription-routes.ts'
import { validateRoute } from './http/validate-route.ts'
import { worklistRoute } from './http/worklist-route.ts'
import { writeRoutes } from './http/write-routes.ts'
import { healthRoutes, metadataRoute } from './http/system-routes.ts'
import { answerUnreadable } from './http/unreadable-request.ts'
import { type Context, softwareOf } from './services/context.ts'

/** From its first byte to its last; a referral of 4 MB needs 1.1 Mbit/s. */
const REQUEST_TIMEOUT_MS = 30_000
/**
 * They come in one piece from an honest client. Never longer than the whole request: Node would exchange the two
 * and give a slow body the longer one.
 */
const HEADERS_TIMEOUT_MS = 10_000
/** How often Node looks for requests that are too slow; without it a slow one lives twice as long. */
const TIMEOUT_CHECK_MS = 5_000
const KEEP_ALIVE_MS = 65_000
const MAX_PARAM_LENGTH = 200
/** How much the service takes; what is not given is not limited, or has its preset. */
export interface Load extends Capacity {
  readonly rateLimits?: RateLimits | undefined
  readonly requestTimeoutMs?: number
  /** Proxies whose word is taken for where a request comes from, as addresses or networks. */
  readonly trustedProxies?: readonly string[]
}

export interface AppOptions {
  readonly logger?: FastifyBaseLogger
  readonly corsOrigins?: readonly string[]
  readonly jwksOrigins?: readonly string[]
  readonly load?: Load
}

interface Access extends OAuth {
  readonly authenticate: Authenticate
  readonly staff: Staff
  /** Who calls a hook of CDS Hooks. */
  readonly authenticateCds: Authenticate
}

/** Everything the server consists of, in the order it takes effect. Starts nothing. */
export async function buildApp(
  context: Context,
  access: Access,
  { logger, corsOrigins = [], jwksOrigins = [], load = {} }: AppOptions = {},
): Promise<FastifyInstance> {
  const app = server(logger, load)
  app.setValidatorCompiler(validatorCompiler)
  app.setSerializerCompiler(serializerCompiler)
  installErrorHandler(app)
  installBodyParsers(app)
  installRequestId(app)
  installPretty(app)
  installLogLine(app)
  await installCors(app, corsOrigins)
  installSecurityHeaders(app, context.baseUrl)
  await installOverload(app, load)
  installHeaderLimits(app)
  const { authenticate } = access
  const throttle = await installRateLimits(app, load.rateLimits)
  const { version } = softwareOf(context)
  await installOpenapi(app, { version, origin: originOf(context.baseUrl) })

  await app.register(healthRoutes, { context })
  await app.register(async (open) => {
    open.addHook('onRequest', (request, reply) => throttle.open(request, reply))
    const { origin } = new URL(context.baseUrl)
    await open.register(pageRoutes, { staff: access.staff, origin, now: context.now })
    await open.register(oauthRoutes, { oauth: access, prefix: '/oauth' })
    await open.register(cdsDiscovery, { prefix: '/cds-services' })
    await open.register(smartRoutes, { baseUrl: context.baseUrl, prefix: '/fhir' })
    await open.register(publishedRoutes, { context, prefix: '/fhir' })
    await open.register(metadataRoute, { context, prefix: '/fhir' })
  })
  await app.register(
    async (fhir) => {
      installCallers(fhir, { context, authenticate, throttle })
      await securedRoutes(fhir, context)
    },
    { prefix: '/fhir' },
  )
  await app.register(
    async (cds) => {
      installCallers(cds, { context, authenticate: access.authenticateCds, throttle })
      await cds.register(cdsRoutes, { context })
    },
    { prefix: '/cds-services' },
  )
  await app.register(
    async (admin) => {
      installCallers(admin, { context, authenticate, throttle })
      await admin.register(clientRoutes, { context, jwksOrigins })
      await admin.register(partnerRoutes, { context })
      await admin.register(deadLetterRoutes, { context })
      await admin.register(adviceRoutes, { context })
    },
    { prefix: '/admin' },
  )
  return app
}

function server(logger: FastifyBaseLogger | undefined, load: Load): FastifyInstance {
  const { requestTimeoutMs = REQUEST_TIMEOUT_MS, trustedProxies = [] } = load
  return Fastify({
    // The message of an error that nobody foresaw may quote what was sent.
    ...(logger === undefined
      ? {}
      : { loggerInstance: logger.child({}, { serializers: { err: traceOf } }) }),
    bodyLimit: MAX_BODY_BYTES,
    requestTimeout: requestTimeoutMs,
    keepAliveTimeout: KEEP_ALIVE_MS,
    http: {
      maxHeaderSize: MAX_HEADER_BYTES,
      requestTimeout: requestTimeoutMs,
      headersTimeout: Math.min(requestTimeoutMs, HEADERS_TIMEOUT_MS),
      connectionsCheckingInterval: Math.min(requestTimeoutMs, TIMEOUT_CHECK_MS),
    },
    trustProxy: trustedProxies.length > 0 ? [...trustedProxies] : false,
    forceCloseConnections: 'idle',
    return503OnClosing: true,
    logController: new LogController({ disableRequestLogging: true }),
    routerOptions: { maxParamLength: MAX_PARAM_LENGTH },
    genReqId: requestId,
    frameworkErrors: answerBadAddress,
    clientErrorHandler: answerUnreadable,
  })
}

async function securedRoutes(fhir: FastifyInstance, context: Context): Promise<void> {
  await fhir.register(operationRoutes, { context })
  await fhir.register(chartRoutes, { context })
  await fhir.register(documentRoutes, { context })
  await fhir.register(auditRoutes, { context })
  await fhir.register(docrefRoutes, { context })
  await fhir.register(intakeRoutes, { context })
  await fhir.register(extractRoutes, { context })
  await fhir.register(libraryRoutes, { context })
  await fhir.register(loopRoutes, { context })
  await fhir.register(matchRoute, { context })
  await fhir.register(subscriptionRoutes, { context })
  await fhir.register(worklistRoute, { context })
  await fhir.register(validateRoute, {
    context,
    knownProfiles: profileUrls(softwareOf(context).version),
  })
  await fhir.register(binaryRoutes, { context })
  await fhir.register(writeRoutes, { context })
  await fhir.register(patchRoutes, { context })
  await fhir.register(exportRoutes, { context })
  await fhir.register(everythingRoutes, { context })
  await fhir.register(historyRoutes, { context })
  await fhir.register(searchRoutes, { context })
  await fhir.register(fhirRoutes, { context })
}
