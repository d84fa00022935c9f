import { isIP } from 'node:net'
import { resolve } from 'node:path'
import { z } from 'zod'
import { type Language, LANGUAGES } from './domain/messages/catalogues.ts'

export const LOG_LEVELS = ['fatal', 'error', 'warn', 'info', 'debug', 'trace', 'silent'] as const

export interface Config {
  readonly host: string
  /** 0: any port that is free. */
  readonly port: number
  /** Nothing: the embedded server, with its data in `dataDir`. */
  readonly databaseUrl: string | undefined
  readonly dataDir: string
  readonly logLevel: (typeof LOG_LEVELS)[number]
  /** Where callers reach the service, without a slash at the end; nothing: where it listens. */
  readonly baseUrl: string | undefined
  /** Who our tokens say they come from; nothing: the base URL. */
  readonly tokenIssuer: string | undefined
  readonly tokenLifetimeSeconds: number
  readonly poolSize: number
  readonly statementTimeoutMs: number
  /** Of the sentences in what is stored. */
  readonly answerLanguage: Language
  /** Whose scripts in a browser may call the service; `*` for everybody's, none by default. */
  readonly corsOrigins: readonly string[]
  /** Where keys of clients may be read although it is no HTTPS, or not on the open Internet. */
  readonly jwksOrigins: readonly string[]
  /** Where notifications may go although it is no HTTPS, or not on the open Internet. */
  readonly notifyOrigins: readonly string[]
  /** How often the service looks for jobs. */
  readonly jobsPollMs: number
  /** How much the service takes from whom. */
  readonly load: {
    readonly rateLimits: {
      readonly perClient: number
      readonly perClinic: number
      readonly perAddress: number
    }
    readonly maxInFlight: number
    readonly maxEventLoopDelayMs: number
    readonly trustedProxies: readonly string[]
  }
}

const HIGHEST_PORT = 65_535
/** More connections than this slow a server down; beyond it stands a pooler. */
const LARGEST_POOL = 100
const LONGEST_STATEMENT_MS = 600_000
/** A token cannot be taken back for as long as it lives. */
export const LONGEST_TOKEN_SECONDS = 3_600

const MOST_REQUESTS = 10_000_000
/**
 * How late timers may be on average before the process counts as overloaded. An answer takes about 10 ms, so
 * a hundred requests stand before each; what is refused then would only wait.
 */
const MAX_EVENT_LOOP_DELAY_MS = 1_000

/** The queue asks no oftener. */
const SHORTEST_POLL_MS = 500
const LONGEST_POLL_MS = 60_000

const WHOLE = /^\d+$/

// No message repeats a value: that of DATABASE_URL holds a password.
const whole = (preset: number, min: number, max: number) =>
  z
    .string()
    .default(String(preset))
    .refine((text) => WHOLE.test(text) && Number(text) >= min && Number(text) <= max, {
      error: `must be a whole number from ${min} to ${max}`,
    })
    .transform(Number)

const address = (...schemes: readonly string[]) =>
  z
    .string()
    .refine((text) => URL.canParse(text) && schemes.includes(new URL(text).protocol), {
      error: `must be a URL that begins with ${schemes.map((scheme) => `${scheme}//`).join(' or ')}`,
    })
    .optional()

const isOrigin = (text: string): boolean =>
  text === '*' || (/^https?:/.test(text) && URL.canParse(text) && new URL(text).origin === text)

const origins = z
  .string()
  .default('')
  .transform((text) => text.split(/[\s,]+/).filter((part) => part !== ''))
  .refine((parts) => parts.every(isOrigin), {
    error: 'must list origins such as https://app.example, separated by commas, or be *',
  })

/** An address or a network, as `10.0.0.0/8`. */
const isNetwork = (text: string): boolean => {
  const [ip = '', bits, more] = text.split('/')
  const longest = isIP(ip) === 6 ? 128 : 32
  return (
    isIP(ip) !== 0 &&
    more === undefined &&
    (bits === undefined || (WHOLE.test(bits) && Number(bits) <= longest))
  )
}

const networks = z
  .string()
  .default('')
  .transform((text) => text.split(/[\s,]+/).filter((part) => part !== ''))
  .refine((parts) => parts.every(isNetwork), {
    error: 'must list addresses or networks such as 10.0.0.0/8, separated by commas',
  })

const Environment = z.object({
  HOST: z.string().default('127.0.0.1'),
  PORT: whole(3_000, 0, HIGHEST_PORT),
  DATABASE_URL: address('postgresql:', 'postgres:'),
  DATA_DIR: z.string().default('./data'),
  LOG_LEVEL: z
    .enum(LOG_LEVELS, { error: `must be one of ${LOG_LEVELS.join(', ')}` })
    .default('info'),
  BASE_URL: address('https:', 'http:'),
  TOKEN_ISSUER: address('https:', 'http:'),
  TOKEN_LIFETIME_S: whole(300, 1, LONGEST_TOKEN_SECONDS),
  POOL_SIZE: whole(4, 1, LARGEST_POOL),
  STATEMENT_TIMEOUT_MS: whole(10_000, 1, LONGEST_STATEMENT_MS),
  ANSWER_LANGUAGE: z
    .enum(LANGUAGES, { error: `must be one of ${LANGUAGES.join(', ')}` })
    .default('en'),
  CORS_ORIGINS: origins,
  JWKS_ORIGINS: origins.refine((parts) => !parts.includes('*'), { error: 'must name each origin' }),
  NOTIFY_ORIGINS: origins.refine((parts) => !parts.includes('*'), {
    error: 'must name each origin',
  }),
  JOBS_POLL_MS: whole(1_000, SHORTEST_POLL_MS, LONGEST_POLL_MS),
  CLIENT_REQUESTS_PER_MINUTE: whole(30_000, 1, MOST_REQUESTS),
  CLINIC_REQUESTS_PER_MINUTE: whole(60_000, 1, MOST_REQUESTS),
  ADDRESS_REQUESTS_PER_MINUTE: whole(1_200, 1, MOST_REQUESTS),
  MAX_IN_FLIGHT: whole(500, 1, MOST_REQUESTS),
  TRUSTED_PROXIES: networks,
})

const withoutLastSlash = (url: string): string =>
  url.endsWith('/') ? withoutLastSlash(url.slice(0, -1)) : url

/** Read once, by main.ts and the commands. Reports every problem at once. */
export function readConfig(env: Readonly<Record<string, string | undefined>>): Config {
  // An empty value is how a compose file says that there is none.
  const given = Object.fromEntries(Object.entries(env).filter(([, value]) => value !== ''))
  const { success, data, error } = Environment.safeParse(given)
  if (!success) {
    const problems = error.issues.map(({ path, message }) => `${path.join('.')} ${message}`)
    throw new Error(['The configuration is not usable:', ...problems].join('\n- '))
  }
  return {
    host: data.HOST,
    port: data.PORT,
    databaseUrl: data.DATABASE_URL,
    dataDir: resolve(data.DATA_DIR),
    logLevel: data.LOG_LEVEL,
    baseUrl: data.BASE_URL && withoutLastSlash(data.BASE_URL),
    tokenIssuer: data.TOKEN_ISSUER,
    tokenLifetimeSeconds: data.TOKEN_LIFETIME_S,
    poolSize: data.POOL_SIZE,
    statementTimeoutMs: data.STATEMENT_TIMEOUT_MS,
    answerLanguage: data.ANSWER_LANGUAGE,
    corsOrigins: data.CORS_ORIGINS,
    jwksOrigins: data.JWKS_ORIGINS,
    notifyOrigins: data.NOTIFY_ORIGINS,
    jobsPollMs: data.JOBS_POLL_MS,
    load: {
      rateLimits: {
        perClient: data.CLIENT_REQUESTS_PER_MINUTE,
        perClinic: data.CLINIC_REQUESTS_PER_MINUTE,
        perAddress: data.ADDRESS_REQUESTS_PER_MINUTE,
      },
      maxInFlight: data.MAX_IN_FLIGHT,
      maxEventLoopDelayMs: MAX_EVENT_LOOP_DELAY_MS,
      trustedProxies: data.TRUSTED_PROXIES,
    },
  }
}
