import { randomUUID } from 'node:crypto'
import type { FastifyBaseLogger } from 'fastify'
import type { InjectOptions } from 'fastify'
import { Client, type QueryResultRow } from 'pg'
import { z } from 'zod'
import type { Load } from '../../src/app.ts'
import { openService, type Service } from '../../src/service.ts'
import { testDatabase } from './database.ts'
import { bundleOf, type Json, type Parts } from './referral.ts'

// The whole service on a database of its own, with a clock that a test sets.

export const START = '2026-03-02T09:00:00.000Z'
export const ORIGIN = 'https://footing-test.example'
export const BASE = `${ORIGIN}/fhir`
const LIFETIME_S = 3_600

export interface Who {
  readonly clinicId: string
  readonly partnerId?: string
  readonly clientId: string
  readonly token: string
}

/** The law that a partner is registered under; for treatment HIPAA asks for no consent. */
export type RegisteredRegime = 'part-c' | 'ferpa' | 'hipaa' | 'unknown'

export interface Answer {
  readonly status: number
  readonly headers: Readonly<Record<string, unknown>>
  readonly text: string
  /** The body, read; undefined when there is none. */
  readonly json: unknown
}

export interface Sent {
  readonly method?: 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE' | 'HEAD'
  readonly url: string
  readonly body?: unknown
  readonly headers?: Readonly<Record<string, string>>
}

export interface TestService {
  readonly service: Service
  readonly url: string
  readonly clock: { set(iso: string): void; advance(ms: number): void }
  /** A new clinic with its staff and two partners. */
  clinic(
    regime?: RegisteredRegime,
  ): Promise<{ readonly staff: Who; readonly partner: Who; readonly other: Who }>
  /** A system with its token; a partner that is not registered yet is, under HIPAA unless said otherwise. */
  who(grant: {
    clinicId: string
    partnerId?: string
    regime?: RegisteredRegime
    scope?: string
    clientId?: string
  }): Promise<Who>
  send(who: Who | undefined, sent: Sent): Promise<Answer>
  /** Sends a referral that must be taken. */
  refer(who: Who, parts: Parts): Promise<Answer>
  /** As the owner, above every policy. */
  sql<Row extends QueryResultRow>(text: string, values?: readonly unknown[]): Promise<Row[]>
  readonly close: () => Promise<void>
}

export const ALL = 'system/*.cruds'

export async function testService({
  statementTimeoutMs = 10_000,
  logger,
  newId,
  corsOrigins = [],
  jwksOrigins = [],
  notifyOrigins = [],
  jobsPollMs,
  load = {},
}: {
  readonly statementTimeoutMs?: number
  readonly logger?: FastifyBaseLogger
  readonly newId?: () => string
  readonly corsOrigins?: readonly string[]
  readonly jwksOrigins?: readonly string[]
  readonly notifyOrigins?: readonly string[]
  /** Given: the service does its jobs by itself. */
  readonly jobsPollMs?: number
  readonly load?: Load
} = {}): Promise<TestService> {
  const { url, drop } = await testDatabase()
  let at = Date.parse(START)
  const service = await openService({
    databaseUrl: url,
    origin: ORIGIN,
    tokenIssuer: undefined,
    tokenLifetimeSeconds: LIFETIME_S,
    poolSize: 6,
    statementTimeoutMs,
    answerLanguage: 'en',
    corsOrigins,
    jwksOrigins,
    notifyOrigins,
    ...(jobsPollMs === undefined ? {} : { jobsPollMs }),
    load,
    now: () => new Date(at),
    ...(logger === undefined ? {} : { logger }),
    ...(newId === undefined ? {} : { newId }),
  })
  const owner = new Client({ connectionString: url })
  await owner.connect()

  const who: TestService['who'] = async ({
    clinicId,
    partnerId,
    regime = 'hipaa',
    scope = ALL,
    clientId,
  }) => {
    if (partnerId !== undefined)
      await owner.query(
        `insert into partners (clinic_id, partner_id, name, created_at, regime)
        values ($1, $2, 'An invented partner', now(), $3) on conflict do nothing`,
        [clinicId, partnerId, regime],
      )
    const client = clientId ?? `client-of-${partnerId ?? clinicId}`
    await owner.query(
      `insert into clients (clinic_id, client_id, partner_id, name, scope, created_at)
      values ($1, $2, $3, 'An invented system', $4, now()) on conflict do nothing`,
      [clinicId, client, partnerId ?? null, scope],
    )
    const token = await service.tokens.issue(
      { clinicId, partnerId, clientId: client, scope },
      { tokenId: randomUUID(), nowS: Math.floor(at / 1000) },
    )
    return { clinicId, clientId: client, token, ...(partnerId === undefined ? {} : { partnerId }) }
  }

  const send: TestService['send'] = async (
    caller,
    { method = 'GET', url: path, body, headers },
  ) => {
    const asked: InjectOptions = {
      method,
      url: path,
      headers: {
        ...(caller === undefined ? {} : { authorization: `Bearer ${caller.token}` }),
        ...(body === undefined ? {} : { 'content-type': 'application/fhir+json' }),
        ...headers,
      },
      ...(body === undefined ? {} : { payload: payloadOf(body) }),
    }
    const response = await service.app.inject(asked)
    return {
      status: response.statusCode,
      headers: response.headers,
      text: response.body,
      json: parsed(response.body),
    }
  }

  return {
    service,
    url,
    clock: {
      set: (iso) => {
        at = Date.parse(iso)
      },
      advance: (ms) => {
        at += ms
      },
    },
    clinic: async (regime) => {
      const law = regime === undefined ? {} : { regime }
      const clinicId = randomUUID()
      return {
        staff: await who({ clinicId }),
        partner: await who({ clinicId, partnerId: randomUUID(), ...law }),
        other: await who({ clinicId, partnerId: randomUUID(), ...law }),
      }
    },
    who,
    send,
    refer: async (caller, parts) => {
      const answer = await send(caller, { method: 'POST', url: '/fhir', body: bundleOf(parts) })
      if (answer.status !== 200) throw new Error(`The referral was not taken: ${answer.text}`)
      return answer
    },
    sql: async <Row extends QueryResultRow>(text: string, values: readonly unknown[] = []) =>
      (await owner.query<Row>(text, [...values])).rows,
    close: async () => {
      await owner.end()
      await service.close()
      await drop()
    },
  }
}

const payloadOf = (body: unknown): string | Buffer =>
  typeof body === 'string' || Buffer.isBuffer(body) ? body : JSON.stringify(body)

function parsed(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}

const Resource = z.record(z.string(), z.unknown())
const BundleShape = z.object({
  resourceType: z.literal('Bundle'),
  type: z.string(),
  total: z.number().optional(),
  link: z.array(z.object({ relation: z.string(), url: z.string() })).optional(),
  entry: z
    .array(
      z.object({
        fullUrl: z.string().optional(),
        resource: Resource.optional(),
        search: z.object({ mode: z.string() }).optional(),
        response: z
          .object({
            status: z.string(),
            location: z.string().optional(),
            etag: z.string().optional(),
            lastModified: z.string().optional(),
          })
          .optional(),
      }),
    )
    .optional(),
})

export const bundle = ({ json }: Answer) => BundleShape.parse(json)
export const entries = (answer: Answer) => bundle(answer).entry ?? []
export const resources = (answer: Answer): Json[] =>
  entries(answer).flatMap((entry) => (entry.resource === undefined ? [] : [entry.resource]))
export const resource = ({ json }: Answer): Json => Resource.parse(json)
export const linkOf = (answer: Answer, relation: string): string | undefined =>
  bundle(answer).link?.find((link) => link.relation === relation)?.url

/** Where each entry is kept, `Type/id`, in request order. */
export const kept = (answer: Answer): string[] =>
  entries(answer).map(({ response }) => {
    const found = /\/fhir\/([A-Z]\w+\/[^/]+)\/_history\/\d+$/.exec(response?.location ?? '')?.[1]
    if (found === undefined) throw new Error('An entry has no location')
    return found
  })
/** The id of the one resource that was written. */
export function keptOnce({ headers, text }: Answer): string {
  const id = /\/([^/]+)\/_history\/\d+$/.exec(String(headers['location']))?.[1]
  if (id === undefined) throw new Error(`Nothing was written: ${text}`)
  return id
}
/** Where the part of this name is kept. */
export const keptAs = (answer: Answer, parts: Parts, name: string): string => {
  const place = kept(answer)[[...parts.keys()].indexOf(name)]
  if (place === undefined) throw new Error(`There is no part ${name}`)
  return place
}

const OutcomeShape = z.object({
  resourceType: z.literal('OperationOutcome'),
  issue: z
    .array(
      z.object({
        severity: z.string(),
        code: z.string(),
        details: z.object({
          text: z.string(),
          coding: z.array(z.object({ system: z.string(), code: z.string() })).optional(),
        }),
        expression: z.array(z.string()).optional(),
      }),
    )
    .min(1),
})
export const issues = ({ json }: Answer) => OutcomeShape.parse(json).issue
/** The expressions of an outcome's faults. */
export const expressions = (answer: Answer): string[] =>
  issues(answer).flatMap(({ expression }) => expression ?? [])
