import {
  DEED,
  DOMAIN_RESOURCE,
  HUMAN,
  KIND,
  PATIENT,
  PERSON,
  PROVIDER,
  PURPOSE_SYSTEM,
  QUERY,
  REQUEST_ID,
  SERVER,
  SOURCE,
  subtypesOf,
  THING,
} from './audit-codes.ts'
import { patternOf, rolesOf } from './audit-pattern.ts'
import type { AuditRecord } from './audit-record.ts'
import { CANONICAL, SYSTEMS } from './codes.ts'
import type { AuditEvent, AuditEventAgent, AuditEventEntity, Coding } from './r4/types.ts'

/** A record at its place in the log. */
export interface PlacedRecord {
  readonly id: string
  /** ISO instant in UTC. */
  readonly recorded: string
  readonly clinicId: string
  readonly record: AuditRecord
}

/** A record of the log as the AuditEvent that it stands for; the same record gives the same resource. */
export function auditEvent({ id, recorded, clinicId, record }: PlacedRecord): AuditEvent {
  const { purpose, status, reason } = record
  const pattern = patternOf(record)
  const why = [status === undefined ? [] : `HTTP ${status}`, reason ?? []].flat().join(', ')
  const purposes =
    purpose === undefined ? [] : [{ coding: [{ system: PURPOSE_SYSTEM, code: purpose }] }]
  const entities = entitiesOf(record)
  return {
    resourceType: 'AuditEvent',
    id,
    ...(pattern === undefined ? {} : { meta: { profile: [pattern] } }),
    type: KIND[record.interaction.startsWith('$export') ? 'export' : record.kind],
    subtype: subtypesOf(record),
    action: record.action,
    recorded,
    ...(record.period === undefined ? {} : { period: record.period }),
    outcome: record.outcome === 0 ? '0' : record.outcome === 4 ? '4' : '8',
    ...(why === '' ? {} : { outcomeDesc: why }),
    ...(purposes.length === 0 ? {} : { purposeOfEvent: purposes }),
    agent: agentsOf(record),
    source: {
      site: clinicId,
      observer: { identifier: { system: SYSTEMS.clinic, value: clinicId } },
      type: [SERVER],
    },
    ...(entities.length === 0 ? {} : { entity: entities }),
  }
}

export const CLIENT_SYSTEM = `${CANONICAL}/NamingSystem/client`
export const PARTNER_SYSTEM = `${CANONICAL}/NamingSystem/partner`
const SERVICE_SYSTEM = `${CANONICAL}/NamingSystem/service`
const SERVICE = { identifier: { system: SERVICE_SYSTEM, value: 'footing' } }

/** A JWT is named by its `jti`. */
const TOKEN = { 1: 'urn:footing:token:', 2: 'urn:ietf:params:oauth:jti:' } as const

const typed = (coding: Coding) => ({ coding: [coding] })

function agentsOf(record: AuditRecord): readonly AuditEventAgent[] {
  const { v, client, token, partner, user, address, server, purpose } = record
  // Nobody asked for it.
  if (record.kind === 'reminder') return [{ type: typed(SOURCE), who: SERVICE, requestor: true }]
  const roles = rolesOf(record)
  const known =
    client === undefined
      ? {}
      : { who: { identifier: { system: CLIENT_SYSTEM, value: client } }, altId: client }
  const purposes =
    purpose === undefined
      ? {}
      : { purposeOfUse: [typed({ system: PURPOSE_SYSTEM, code: purpose })] }
  const agents: AuditEventAgent[] = [
    {
      type: typed(roles.client),
      ...known,
      requestor: user === undefined,
      ...(token === undefined ? {} : { policy: [`${TOKEN[v]}${encodeURIComponent(token)}`] }),
      ...(address === undefined ? {} : { network: { address, type: '2' } }),
      ...purposes,
    },
    {
      type: typed(roles.server),
      who: SERVICE,
      requestor: false,
      ...(server === undefined ? {} : { network: { address: server, type: '5' as const } }),
    },
  ]
  if (user !== undefined)
    agents.push({ type: typed(HUMAN), who: { reference: user }, requestor: true })
  if (partner !== undefined)
    agents.push({
      type: typed(PROVIDER),
      who: { identifier: { system: PARTNER_SYSTEM, value: partner } },
      requestor: false,
    })
  return agents
}

function entitiesOf({ about, patients, query, request }: AuditRecord): AuditEventEntity[] {
  return [
    ...about.map(
      ({ ref, version, did }): AuditEventEntity => ({
        what: { reference: version === undefined ? ref : `${ref}/_history/${version}` },
        type: THING,
        role: DOMAIN_RESOURCE,
        lifecycle: DEED[did],
      }),
    ),
    ...patients.map(
      (id): AuditEventEntity => ({
        what: { reference: `Patient/${id}` },
        type: PERSON,
        role: PATIENT,
      }),
    ),
    ...(query === undefined ? [] : [{ type: THING, role: QUERY, query }]),
    { what: { identifier: { value: request } }, type: REQUEST_ID },
  ]
}
