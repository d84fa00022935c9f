import { CLIENT_SYSTEM, PARTNER_SYSTEM } from './audit-event.ts'
import type { AuditEvent, AuditEventAgent } from './r4/types.ts'

/** One call as its AuditEvent tells it: who had what of a child, when and what for. */
export interface AuditedAccess {
  readonly event: string
  /** ISO instant in UTC. */
  readonly recorded: string
  readonly client: string | undefined
  /** None: the clinic's own staff. */
  readonly partner: string | undefined
  readonly user: string | undefined
  /** Code of v3-PurposeOfUse; undefined when none was stated. */
  readonly purpose: string | undefined
  /** `read`, `search`, `everything` … */
  readonly did: string
  /** Types of the resources that are named. */
  readonly types: readonly string[]
}

export function auditedAccess(event: AuditEvent): AuditedAccess {
  const identified = (system: string): string | undefined =>
    event.agent.flatMap((agent) => identifierOf(agent, system))[0]
  const types = (event.entity ?? []).flatMap(
    ({ what }) => /^([A-Za-z]+)\//.exec(what?.reference ?? '')?.[1] ?? [],
  )
  return {
    event: event.id ?? '',
    recorded: event.recorded,
    client: identified(CLIENT_SYSTEM),
    partner: identified(PARTNER_SYSTEM),
    user: event.agent.find(({ who }) => who?.reference !== undefined)?.who?.reference,
    purpose: event.purposeOfEvent?.[0]?.coding?.[0]?.code,
    did: event.subtype?.at(-1)?.code ?? '',
    types: [...new Set(types)].toSorted(),
  }
}

const identifierOf = ({ who }: AuditEventAgent, system: string): string[] =>
  who?.identifier?.system === system ? [who.identifier.value ?? ''].filter(Boolean) : []
