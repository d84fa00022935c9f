import { readFileSync } from 'node:fs'
import { randomUUID } from 'node:crypto'
import type { FastifyBaseLogger, FastifyInstance } from 'fastify'
import { z } from 'zod'
import { buildApp, type Load } from './app.ts'
import { startBackgroundWork } from './background-work.ts'
import type { Language } from './domain/messages/catalogues.ts'
import { parseRuleSet, type RuleSet } from './domain/rules/rule-set.ts'
import { GENERIC_SIZE_CHART } from './domain/tables/generic-size-chart.ts'
import { tokenUrl } from './fhir/smart-configuration.ts'
import { bearerAuthentication } from './http/authenticate.ts'
import { cdsAuthentication } from './http/cds-authenticate.ts'
import type { Staff } from './http/page-routes.ts'
import type { Tokens } from './security/access-token.ts'
import { keysOf, LOCAL_ISSUER, tokensFrom } from './service-tokens.ts'
import { pageKeyOf } from './security/page-key.ts'
import { openAudit } from './services/audit.ts'
import { cdsClients } from './services/cds-client.ts'
import { checkpointKeysOf } from './services/checkpoints.ts'
import { clientActivity } from './services/client-activity.ts'
import { clientKeys } from './services/client-keys.ts'
import type { Context } from './services/context.ts'
import { openKeyFetch } from './services/key-fetch.ts'
import { settleRegimes } from './services/partner-regimes.ts'
import { reindex } from './services/reindex.ts'
import { remembered } from './services/remembered.ts'
import { readStoredRuleSet } from './services/rule-sets.ts'
import { readStoredChart } from './services/size-charts.ts'
import { type SignIn, signIn, signOut, staffMember } from './services/staff-sign-in.ts'
import { recordToken, type TokenCall } from './services/token-audit.ts'
import { requestToken, type TokenEndpoint } from './services/token-endpoint.ts'
import type { Pairs } from './services/token-request.ts'
import { makeAuditMonths } from './storage/audit-log.ts'
import { openCopies } from './storage/copy.ts'
import { openDatabase } from './storage/database.ts'
import { migrate } from './storage/migrate.ts'

export interface ServiceOptions {
  readonly databaseUrl: string
  /** Where callers reach the service, without `/fhir`. */
  readonly origin: string
  readonly tokenIssuer: string | undefined
  readonly tokenLifetimeSeconds: number
  readonly poolSize: number
  readonly statementTimeoutMs: number
  readonly answerLanguage: Language
  /** Whose scripts in a browser may call the service; `*` for everybody's. */
  readonly corsOrigins?: readonly string[]
  /** Where keys of clients may be read although it is no HTTPS, or not on the open Internet. */
  readonly jwksOrigins?: readonly string[]
  /** Where notifications may go although it is no HTTPS, or not on the open Internet. */
  readonly notifyOrigins?: readonly string[]
  /** How often the service looks for jobs; undefined: it does none. */
  readonly jobsPollMs?: number
  readonly load?: Load
  readonly logger?: FastifyBaseLogger
  readonly now?: () => Date
  readonly newId?: () => string
}

export interface Service {
  readonly app: FastifyInstance
  readonly context: Context
  readonly tokens: Tokens
  /** Finishes what is being answered, then closes the database. */
  readonly close: () => Promise<void>
}

// Both are where they are for the sources and for what is built of them.
const RULES = new URL('../src/domain/rules/footing-default-2026.1.json', import.meta.url)
const PACKAGE = new URL('../package.json', import.meta.url)

/** Size charts and rule sets of as many clinics are kept in memory, read. */
const REMEMBERED_CHARTS = 100
const REMEMBERED_RULE_SETS = 100

/** The name and version that every result carries. */
export function softwareName(): string {
  const { version } = z
    .object({ version: z.string() })
    .parse(JSON.parse(readFileSync(PACKAGE, 'utf8')))
  return `Footing ${version}`
}

export const shippedRuleSet = (): RuleSet => parseRuleSet(JSON.parse(readFileSync(RULES, 'utf8')))

/** Migrates, opens and assembles the service; it does not listen yet. */
export async function openService(options: ServiceOptions): Promise<Service> {
  const { databaseUrl, poolSize, statementTimeoutMs, logger } = options
  const { now = () => new Date(), newId = randomUUID } = options
  const ruleSet = shippedRuleSet()
  await migrate(databaseUrl)
  const db = openDatabase({
    url: databaseUrl,
    poolSize,
    statementTimeoutMs,
    // Without it the database goes by its own, and a connection may keep its scope from one read to the next.
    ...(options.now === undefined ? {} : { now: options.now }),
    onIdleFailure: ({ code }) => logger?.warn({ code }, 'an idle connection failed'),
  })
  try {
    await db.asOwner((tx) => makeAuditMonths(tx, now().toISOString()))
    const keys = await keysOf(db, now)
    const tokens = tokensFrom(db, { ...options, now })
    const baseUrl = `${options.origin}/fhir`
    const indexed = await reindex(db, baseUrl)
    if (indexed > 0) logger?.info({ resources: indexed }, 'the search index was written anew')
    await settleRegimes({ db, now, baseUrl })
    const context: Context = {
      db,
      audit: openAudit(db, { now, newId }),
      checkpointKeys: await checkpointKeysOf(db, { now, newId: randomUUID }),
      copies: openCopies(databaseUrl),
      now,
      newId,
      baseUrl,
      cors: (options.corsOrigins ?? []).length > 0,
      notifyOrigins: options.notifyOrigins ?? [],
      pageKey: pageKeyOf(keys),
      ruleSet,
      chart: GENERIC_SIZE_CHART,
      readRuleSet: remembered(readStoredRuleSet, REMEMBERED_RULE_SETS),
      readChart: remembered(readStoredChart, REMEMBERED_CHARTS),
      software: softwareName(),
      language: options.answerLanguage,
    }
    const endpoint = tokenEndpoint(context, tokens, options)
    const authenticate = bearerAuthentication(tokens, clientActivity(db, now), now)
    const access = {
      authenticate,
      authenticateCds: cdsAuthentication(cdsClients(endpoint), baseUrl, authenticate),
      requestToken: (pairs: Pairs, call: TokenCall) =>
        requestToken(
          { ...endpoint, record: (outcome) => recordToken(context.audit, outcome, call) },
          pairs,
        ),
      publicKeys: () => tokens.publicKeys(),
      staff: staffOf({ ...context, tokens }),
    }
    const app = await buildApp(context, access, {
      ...(logger === undefined ? {} : { logger }),
      corsOrigins: options.corsOrigins ?? [],
      jwksOrigins: options.jwksOrigins ?? [],
      load: options.load ?? {},
    })
    const background = await startBackgroundWork(context, {
      databaseUrl,
      jobsPollMs: options.jobsPollMs,
      tokens,
      issuer: options.tokenIssuer ?? LOCAL_ISSUER,
      logger,
    })
    const close = async () => {
      await app.close()
      await background.stop()
      await db.close()
    }
    return { app, context, tokens, close }
  } catch (error) {
    await db.close()
    throw error
  }
}

const staffOf = (at: SignIn): Staff => ({
  signIn: (given, call) => signIn(at, given, call),
  member: (held) => staffMember(at, held),
  signOut: (held) => signOut(at, held),
})

function tokenEndpoint(
  context: Context,
  tokens: Tokens,
  { origin, tokenLifetimeSeconds, jwksOrigins = [] }: ServiceOptions,
): Omit<TokenEndpoint, 'record'> {
  return {
    ...context,
    tokens,
    findKey: clientKeys(openKeyFetch(jwksOrigins), context.now),
    tokenUrl: tokenUrl(origin),
    lifetimeS: tokenLifetimeSeconds,
  }
}
