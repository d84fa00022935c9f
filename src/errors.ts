/** Every failure a caller can cause, with its HTTP status and FHIR issue type. */
const KINDS = {
  'malformed-body': { status: 400, issue: 'structure' },
  'invalid-request': { status: 400, issue: 'invalid' },
  'not-supported': { status: 400, issue: 'not-supported' },
  unauthenticated: { status: 401, issue: 'login' },
  'scope-missing': { status: 403, issue: 'forbidden' },
  'not-found': { status: 404, issue: 'not-found' },
  deleted: { status: 410, issue: 'deleted' },
  'method-not-allowed': { status: 405, issue: 'not-supported' },
  'not-acceptable': { status: 406, issue: 'not-supported' },
  conflict: { status: 409, issue: 'conflict' },
  'data-needed': { status: 412, issue: 'required' },
  'version-conflict': { status: 412, issue: 'conflict' },
  'multiple-matches': { status: 412, issue: 'multiple-matches' },
  'too-large': { status: 413, issue: 'too-long' },
  'unsupported-media-type': { status: 415, issue: 'not-supported' },
  'invalid-resource': { status: 422, issue: 'invalid' },
  'business-rule': { status: 422, issue: 'business-rule' },
  'headers-too-large': { status: 431, issue: 'too-long' },
  throttled: { status: 429, issue: 'throttled' },
  unavailable: { status: 503, issue: 'transient' },
  'timed-out': { status: 503, issue: 'timeout' },
} as const

export type ErrorKind = keyof typeof KINDS

/** One thing wrong with what was sent: where it is (FHIRPath), which rule found it, what would be right. */
export interface Fault {
  readonly severity: 'error' | 'warning' | 'information'
  /** A code of the FHIR value set issue-type. */
  readonly code: string
  /** Simple FHIRPath of the element, for instance `Patient.name[0].given[1]`. */
  readonly expression: string
  /** Our stable identifier of the check, or the official key of the invariant (`obs-6`). */
  readonly rule: string
  /** What was wrong and what would be right. Never quotes a name, a date of birth or free text. */
  readonly text: string
}

/** A failure the caller can act on. Anything else that is thrown is a bug. */
export class AppError extends Error {
  readonly kind: ErrorKind
  readonly status: number
  readonly issue: string
  readonly faults: readonly Fault[]

  constructor(kind: ErrorKind, message: string, faults: readonly Fault[] = []) {
    super(message)
    this.name = 'AppError'
    this.kind = kind
    this.status = KINDS[kind].status
    this.issue = KINDS[kind].issue
    this.faults = faults
  }
}

/** Parameters of an operation that it does not know, or that say nothing it can take. */
export const askedWrongly = (faults: readonly Fault[]): AppError =>
  new AppError('invalid-request', 'The operation cannot be asked so.', faults)
