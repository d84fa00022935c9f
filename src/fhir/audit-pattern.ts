import { APPLICATION, CUSTODIAN, DESTINATION, SOURCE } from './audit-codes.ts'
import type { AuditRecord } from './audit-record.ts'
import type { Coding } from './r4/types.ts'

// What IHE Basic Audit Log Patterns 1.1 has for an interaction of R4, and when an event keeps to it.

interface Roles {
  readonly client: Coding
  readonly server: Coding
}

const SENDS: Roles = { client: SOURCE, server: DESTINATION }
const FETCHES: Roles = { client: DESTINATION, server: SOURCE }

/** What is read goes to the client; what is written comes from it, and the parameters of a search do. */
export function rolesOf({ v, kind, action, interaction }: AuditRecord): Roles {
  const isWritten = action === 'C' || action === 'U' || action === 'D'
  if (v === 1 || kind !== 'rest') return isWritten ? SENDS : FETCHES
  if (interaction === 'delete') return { client: APPLICATION, server: CUSTODIAN }
  return isWritten || interaction === 'search' ? SENDS : FETCHES
}

const BALP = 'https://profiles.ihe.net/ITI/BALP/StructureDefinition/IHE.BasicAudit'
const PATTERNS: Readonly<Record<string, string>> = {
  read: 'Read',
  vread: 'Read',
  create: 'Create',
  update: 'Update',
  patch: 'Update',
  delete: 'Delete',
  search: 'Query',
}

/** The pattern of BALP that an event follows; none where it has something that the pattern has otherwise. */
export function patternOf(record: AuditRecord): string | undefined {
  const { v, kind, interaction, outcome, patients } = record
  const pattern = PATTERNS[interaction]
  if (kind !== 'rest' || pattern === undefined || outcome !== 0) return undefined
  if (v !== 1 && !keepsTo(record)) return undefined
  return `${BALP}.${patients.length === 1 ? 'Patient' : ''}${pattern}`
}

/** One resource, or one query, about one child at most; both sides by who and where they are. */
function keepsTo(record: AuditRecord): boolean {
  const { interaction, about, patients, query, client, address, server, consent } = record
  const isOfOne = interaction === 'search' ? query !== undefined : about.length === 1
  const isKnown = client !== undefined && address !== undefined && server !== undefined
  return isOfOne && isKnown && patients.length < 2 && consent === undefined
}
