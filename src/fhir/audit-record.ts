/** DICOM audit event types that are made here; RFC 3881 and FHIR name `rest` for everything over HTTP. */
export type AuditKind =
  | 'rest'
  | 'signin'
  | 'export'
  | 'configuration'
  | 'notification'
  | 'review'
  | 'reminder'

/** Of the records that are made now. 2 has the roles of BALP for searches and deletions, and our address. */
export const RENDERING = 2

/** What the log keeps of one call: identifiers and codes, no name and no clinical content. */
export interface AuditRecord {
  /**
   * Which rendering makes its AuditEvent. What one makes never changes, so that every later version of the
   * software can tell whether an event was altered; another rendering takes the next number beside it.
   */
  readonly v: 1 | 2
  readonly kind: AuditKind
  /** `read`, `search-type`, `create`, an operation's name … */
  readonly interaction: string
  readonly action: 'C' | 'R' | 'U' | 'D' | 'E'
  /** AuditEvent.outcome: 0 success, 4 refused, 8 failed. */
  readonly outcome: 0 | 4 | 8
  /** Of the answer, where it is known. */
  readonly status?: number | undefined
  readonly client?: string | undefined
  /** The id of the access token. */
  readonly token?: string | undefined
  readonly partner?: string | undefined
  /** The practitioner behind a staff token, as a reference. */
  readonly user?: string | undefined
  /** Of the network, as the service saw it. */
  readonly address?: string | undefined
  /** Where it reached the service: the base URL. */
  readonly server?: string | undefined
  /** X-Request-Id */
  readonly request: string
  /** Code of v3-PurposeOfUse. */
  readonly purpose?: string | undefined
  /** The query of a search in base64. */
  readonly query?: string | undefined
  /** Asked by HEAD, so that nothing of what was read was sent. */
  readonly headOnly?: boolean | undefined
  readonly about: readonly AuditedThing[]
  /** Ids of Patients. */
  readonly patients: readonly string[]
  /** What the consent gate decided. */
  readonly consent?: 'permit' | 'deny' | undefined
  /** Of what a review looked at, ISO instants. */
  readonly period?: { readonly start: string; readonly end: string } | undefined
  /** Why, in a constant of ours: `consent`, `unknown-key` … */
  readonly reason?: string | undefined
}

export interface AuditedThing {
  readonly ref: string
  readonly version?: number | undefined
  readonly did: 'read' | 'created' | 'updated' | 'deleted'
}
