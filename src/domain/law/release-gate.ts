import { addDays, type CivilDate } from '../calendar.ts'
import type { Evidence } from '../facts.ts'
import type { SourceId } from '../tables/sources.ts'
import { consentGate, type Exchange, type Gate, type Regime } from './consent-gate.ts'
import {
  type ConsentDemand,
  type ConsentOnRecord,
  endedBy,
  overridden,
  refusesNow,
  unmetDemands,
} from './consent-on-record.ts'

/** Content about a child that goes from the clinic back to the partner that referred it. */
export interface Release {
  /** The law that the partner is registered under. */
  readonly regime: Regime
  readonly purpose: Exchange['purpose']
}

export interface ReleaseDecision {
  readonly rule: 'release-gate'
  readonly holds: 'yes' | 'no'
  /** `free` and `consented` let it go; the others keep it. */
  readonly outcome: 'free' | 'consented' | 'lacking' | 'refused' | 'ended'
  /** What the laws ask for that it is held to. */
  readonly gates: readonly Gate[]
  /** The consents that count. */
  readonly counting: readonly Evidence[]
  readonly sources: readonly SourceId[]
}

/** Who a partner of each regime is to the clinic as a recipient. */
const RECIPIENT: Readonly<Record<Regime, Exchange['recipient']>> = {
  hipaa: 'provider',
  'part-c': 'part-c',
  ferpa: 'school',
  unknown: 'unknown',
}

/**
 * The exchanges whose gates must be open: the one by which the record came, whose consent is to the exchange
 * with the clinic and must stand still; and what the clinic itself, under HIPAA, may send. Whoever sends a
 * child for treatment is taken to provide treatment (judgement): for any other purpose an authorization is
 * needed.
 */
export function exchangesOf({ regime, purpose }: Release): readonly Exchange[] {
  const came: Exchange = { regime, recipient: 'orthotics-clinic', purpose: 'treatment' }
  const recipient = RECIPIENT[regime]
  if (purpose === 'treatment') return [came]
  return [came, { regime: 'hipaa', recipient, purpose }]
}

/** What a consent must be that answers to one that ended, where no law asks for any. */
const IN_FORCE: readonly ConsentDemand[] = [
  'active',
  'permits',
  'for-disclosure',
  'started',
  'not-expired',
  'not-for-another',
]

/**
 * May content about a child go from the clinic to the partner that referred it, on this day?
 *
 * Under Part C, FERPA and an unknown law only while a consent counts by which the record came; under HIPAA
 * freely for treatment. Whatever the law, a family is heard: a refusal that no later consent answers keeps
 * it, and so does a consent that was withdrawn or is past its last day, unless another is in force (the last
 * is a judgement: what has been disclosed cannot be taken back). Local rules may ask for more.
 *
 * @see SOURCES hipaa-164-506, idea-303-414, ferpa-99-30, judgement
 */
export function releaseGate(
  release: Release,
  consents: readonly ConsentOnRecord[],
  on: CivilDate,
): ReleaseDecision {
  const decisions = exchangesOf(release).map((exchange) => consentGate(exchange, consents, on))
  const inForce = consents.filter((one) => unmetDemands(one, IN_FORCE, on).length === 0)
  const answering = inForce.filter((one) => !overridden(one, consents, on))
  const asked = decisions.filter(({ gate }) => gate !== 'nothing')
  const refused = consents.some((one) => refusesNow(one, on))
  const outcome = (): ReleaseDecision['outcome'] => {
    if (answering.length === 0 && refused) return 'refused'
    if (asked.some(({ refusedByFamily }) => refusedByFamily)) return 'refused'
    if (asked.some(({ holds }) => holds === 'no')) return 'lacking'
    if (answering.length > 0) return 'consented'
    return consents.some((one) => endedBy(one, on)) ? 'ended' : 'free'
  }
  const found = outcome()
  return {
    rule: 'release-gate',
    holds: found === 'free' || found === 'consented' ? 'yes' : 'no',
    outcome: found,
    gates: decisions.map(({ gate }) => gate),
    counting: [
      ...new Set([
        ...asked.flatMap(({ counting }) => counting),
        ...answering.map(({ evidence }) => evidence),
      ]),
    ].toSorted(),
    sources: [...new Set(decisions.flatMap(({ sources }) => sources)), 'judgement'],
  }
}

/** Days on which a record is closed, both ends included; `open` when no consent says when it ends. */
export interface ClosedDays {
  readonly first: CivilDate
  readonly last: CivilDate | 'open'
}

/**
 * When, from a day on, is a partner's record of a child closed to it, as far as the consents on record tell?
 * For treatment, which is what a partner reads for. The answer holds until a consent changes.
 */
export function closedDays(
  regime: Regime,
  consents: readonly ConsentOnRecord[],
  from: CivilDate,
): readonly ClosedDays[] {
  const days = [...new Set([from, ...consents.flatMap(turningDays)])]
    .filter((day) => day >= from)
    .toSorted()
  const spans: { first: CivilDate; last: CivilDate | 'open' }[] = []
  let isClosed = false
  for (const day of days) {
    const closes = releaseGate({ regime, purpose: 'treatment' }, consents, day).holds === 'no'
    const current = spans.at(-1)
    if (closes && !isClosed) spans.push({ first: day, last: 'open' })
    if (!closes && isClosed && current !== undefined) current.last = addDays(day, -1)
    isClosed = closes
  }
  return spans
}

/** The days on which what a consent says may change. */
function turningDays({ givenOn, from, until }: ConsentOnRecord): CivilDate[] {
  return [
    ...(givenOn === 'unknown' ? [] : [givenOn]),
    ...(from === 'unknown' || from === 'when-given' ? [] : [from]),
    ...(until === 'unknown' || until === 'open' ? [] : [addDays(until, 1)]),
  ]
}
