import type { CivilDate } from '../calendar.ts'
import type { Evidence } from '../facts.ts'
import type { Truth } from '../truth.ts'

/** A consent as it stands in the record. Whatever is unknown keeps it from counting. */
export interface ConsentOnRecord {
  readonly status: 'active' | 'withdrawn' | 'draft' | 'entered-in-error' | 'unknown'
  readonly decision: 'permit' | 'deny' | 'unknown'
  /** What it is about: giving information to others, or something else, such as treatment. */
  readonly scope: 'disclosure' | 'other' | 'unknown'
  readonly grantor: 'parent-or-guardian' | 'other' | 'unknown'
  /** On paper or signed electronically. */
  readonly written: Truth
  readonly givenOn: CivilDate | 'unknown'
  /** `when-given` when the consent names no first day. */
  readonly from: CivilDate | 'when-given' | 'unknown'
  /** The last day, itself included; `open` when the consent names none. */
  readonly until: CivilDate | 'open' | 'unknown'
  readonly recipient: 'this-one' | 'another' | 'not-named' | 'unknown'
  readonly namesRecords: Truth
  readonly namesPurpose: Truth
  readonly evidence: Evidence
}

/** What a consent must be to count; each has its own words in an answer that says what is needed. */
export const CONSENT_DEMANDS = [
  'active',
  'permits',
  'for-disclosure',
  'by-parent',
  'written',
  'dated',
  'started',
  'not-expired',
  'not-for-another',
  'names-recipient',
  'names-records',
  'names-purpose',
  'names-end',
] as const
export type ConsentDemand = (typeof CONSENT_DEMANDS)[number]

/**
 * Which of the demands does a consent not meet on a day? What is unknown is not met; first and last day
 * count.
 */
export const unmetDemands = (
  consent: ConsentOnRecord,
  demands: readonly ConsentDemand[],
  on: CivilDate,
): readonly ConsentDemand[] => demands.filter((demand) => !MEETS[demand](consent, on))

/** Does a parent's refusal stand that is as recent as a consent? Without both days it does. */
export const overridden = (
  consent: ConsentOnRecord,
  others: readonly ConsentOnRecord[],
  on: CivilDate,
): boolean => others.some((other) => refusesNow(other, on) && !isOlder(other, consent))

/**
 * Does a consent refuse on a day? A refusal protects: it counts although nobody signed it, and unless it
 * surely has not begun or has ended.
 */
export function refusesNow(
  { status, decision, scope, from, until, recipient }: ConsentOnRecord,
  on: CivilDate,
): boolean {
  const standing = status === 'active' || status === 'unknown'
  const begun = from === 'unknown' || from === 'when-given' || from <= on
  const ended = until !== 'unknown' && until !== 'open' && until < on
  const concerns = scope !== 'other' && recipient !== 'another'
  return decision === 'deny' && standing && concerns && begun && !ended
}

/**
 * Is it what the family once agreed to and no longer does: taken back, or surely past its last day? What is
 * about something else or for somebody else is not; an unknown last day has not surely passed.
 */
export const endedBy = (
  { status, decision, scope, until, recipient }: ConsentOnRecord,
  on: CivilDate,
): boolean =>
  decision !== 'deny' &&
  scope !== 'other' &&
  recipient !== 'another' &&
  (status === 'withdrawn' ||
    (status === 'active' && until !== 'unknown' && until !== 'open' && until < on))

const isOlder = (refusal: ConsentOnRecord, consent: ConsentOnRecord): boolean =>
  refusal.givenOn !== 'unknown' &&
  consent.givenOn !== 'unknown' &&
  refusal.givenOn < consent.givenOn

type Meets = (consent: ConsentOnRecord, on: CivilDate) => boolean

const MEETS: Readonly<Record<ConsentDemand, Meets>> = {
  active: ({ status }) => status === 'active',
  permits: ({ decision }) => decision === 'permit',
  'for-disclosure': ({ scope }) => scope === 'disclosure',
  'by-parent': ({ grantor }) => grantor === 'parent-or-guardian',
  written: ({ written }) => written === 'yes',
  dated: ({ givenOn }, on) => givenOn !== 'unknown' && givenOn <= on,
  started: ({ from }, on) => from === 'when-given' || (from !== 'unknown' && from <= on),
  'not-expired': ({ until }, on) => until === 'open' || (until !== 'unknown' && until >= on),
  'not-for-another': ({ recipient }) => recipient === 'this-one' || recipient === 'not-named',
  'names-recipient': ({ recipient }) => recipient === 'this-one',
  'names-records': ({ namesRecords }) => namesRecords === 'yes',
  'names-purpose': ({ namesPurpose }) => namesPurpose === 'yes',
  'names-end': ({ until }) => until !== 'open' && until !== 'unknown',
}
