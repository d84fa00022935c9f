import type { CivilDate } from '../calendar.ts'
import {
  type ConsentDemand,
  type ConsentOnRecord,
  overridden,
  unmetDemands,
} from './consent-on-record.ts'
import type { Evidence } from '../facts.ts'
import { type Message, say, together } from '../messages/message.ts'
import type { SourceId } from '../tables/sources.ts'
import type { Finding } from '../truth.ts'

/** The law that the content is under where it comes from. */
export const REGIMES = ['part-c', 'ferpa', 'hipaa', 'unknown'] as const
export type Regime = (typeof REGIMES)[number]

/** One passing on of a child's content. */
export interface Exchange {
  /** Content received from a Part C programme or a school stays under its law when passed on. */
  readonly regime: Regime
  readonly recipient: 'orthotics-clinic' | 'provider' | 'part-c' | 'school' | 'payer' | 'unknown'
  /** `treatment` to a recipient that treats the child. */
  readonly purpose: 'treatment' | 'payment' | 'other' | 'unknown'
}

/** What must stand on record before content is passed on. */
export type Gate =
  | 'nothing'
  | 'part-c-consent'
  | 'ferpa-consent'
  | 'authorization'
  | 'every-consent'

export interface GateDecision extends Finding {
  readonly rule: 'consent-gate'
  /** A gate is open or shut: what is unknown shuts it. */
  readonly holds: 'yes' | 'no'
  readonly gate: Gate
  /** What is missing when the gate is shut; of the consent that comes closest, or all of it without one. */
  readonly needed: readonly ConsentDemand[]
  /** Of the consent that comes closest when the gate is shut; absent without one. */
  readonly nearest?: Evidence
  /** A refusal on record that is as recent as every consent that would count. */
  readonly refusedByFamily: boolean
  /** The consents that count. */
  readonly counting: readonly Evidence[]
  /** An entry in the record of access is due, treatment included. */
  readonly recordAccess: boolean
}

/**
 * May content about a child be passed on, on this day?
 *
 * Under HIPAA freely for treatment and to a payer for payment, else with an authorization; under Part C
 * outside its participating agencies only with a parent's written consent, and from a school only with
 * one that names records, purpose and recipient. A regime that is unknown is held to all of it: the
 * sender's law cannot be guessed from what it sends, and a disclosure cannot be taken back (judgement).
 * Exceptions of 34 CFR 303.414 and 99.31 were not read and are not applied.
 *
 * @see SOURCES hipaa-164-506, idea-303-414, idea-303-406, ferpa-99-30, judgement
 */
export function consentGate(
  exchange: Exchange,
  consents: readonly ConsentOnRecord[],
  on: CivilDate,
): GateDecision {
  const gate = gateOf(exchange)
  const demands = demandsOf(exchange)
  const complete = consents.filter((one) => unmetDemands(one, demands, on).length === 0)
  const counting = complete.filter((one) => !overridden(one, consents, on))
  const open = gate === 'nothing' || counting.length > 0
  const refusedByFamily = !open && complete.length > 0
  const nearest = open || refusedByFamily ? undefined : closest(consents, demands, on)
  const needed = open || refusedByFamily ? [] : (nearest?.unmet ?? demands)
  return {
    rule: 'consent-gate',
    holds: open ? 'yes' : 'no',
    gate,
    needed,
    ...(nearest !== undefined && { nearest: nearest.evidence }),
    refusedByFamily,
    counting: gate === 'nothing' ? [] : counting.map(({ evidence }) => evidence).toSorted(),
    recordAccess: exchange.regime === 'part-c' || exchange.regime === 'unknown',
    because: words(gate, { open, refusedByFamily, needed }),
    sources: SOURCES_OF_GATE[gate],
    evidence: gate === 'nothing' ? [] : consents.map(({ evidence }) => evidence).toSorted(),
  }
}

/** What the law asks for before content of a regime goes to a recipient. */
export function gateOf({ regime, recipient, purpose }: Exchange): Gate {
  switch (regime) {
    case 'part-c':
      return recipient === 'part-c' ? 'nothing' : 'part-c-consent'
    case 'ferpa':
      return 'ferpa-consent'
    case 'unknown':
      return 'every-consent'
    case 'hipaa':
      return freeUnderHipaa(recipient, purpose) ? 'nothing' : 'authorization'
  }
}

function freeUnderHipaa(recipient: Exchange['recipient'], purpose: Exchange['purpose']): boolean {
  if (purpose === 'payment') return recipient === 'payer'
  return purpose === 'treatment' && recipient !== 'payer' && recipient !== 'unknown'
}

const IN_FORCE = [
  'active',
  'permits',
  'for-disclosure',
  'by-parent',
  'written',
  'dated',
  'started',
  'not-expired',
] as const satisfies readonly ConsentDemand[]
const NAMED = ['names-recipient', 'names-records', 'names-purpose'] as const

const DEMANDS: Readonly<Record<Exclude<Gate, 'every-consent'>, readonly ConsentDemand[]>> = {
  nothing: [],
  'part-c-consent': [...IN_FORCE, 'not-for-another'],
  'ferpa-consent': [...IN_FORCE, ...NAMED],
  authorization: [...IN_FORCE, ...NAMED, 'names-end'],
}

/** Under an unknown law, everything that any of the known ones would ask for this exchange. */
function demandsOf(exchange: Exchange): readonly ConsentDemand[] {
  const gate = gateOf(exchange)
  if (gate !== 'every-consent') return DEMANDS[gate]
  const known = REGIMES.filter((regime) => regime !== 'unknown')
  return [...new Set(known.flatMap((regime) => demandsOf({ ...exchange, regime })))]
}

const SOURCES_OF_GATE: Readonly<Record<Gate, readonly SourceId[]>> = {
  nothing: ['hipaa-164-506', 'idea-303-414'],
  'part-c-consent': ['idea-303-414', 'idea-303-406'],
  'ferpa-consent': ['ferpa-99-30'],
  authorization: ['hipaa-164-506', 'memory'],
  'every-consent': ['idea-303-414', 'ferpa-99-30', 'hipaa-164-506', 'memory', 'judgement'],
}

/** The consent that lacks least, and what; the first of equally near ones by its evidence. */
function closest(
  consents: readonly ConsentOnRecord[],
  demands: readonly ConsentDemand[],
  on: CivilDate,
): { readonly evidence: Evidence; readonly unmet: readonly ConsentDemand[] } | undefined {
  const [first, ...others] = consents
    .toSorted((a, b) => (a.evidence < b.evidence ? -1 : 1))
    .map((one) => ({ evidence: one.evidence, unmet: unmetDemands(one, demands, on) }))
  if (first === undefined) return undefined
  return others.reduce((least, one) => (one.unmet.length < least.unmet.length ? one : least), first)
}

/** What the law asks for, and what came of it. */
const words = (gate: Gate, found: Found): Message =>
  together([say(`consent-law.${gate}`), outcomeWords(gate, found)])

interface Found extends Pick<GateDecision, 'refusedByFamily' | 'needed'> {
  readonly open: boolean
}

function outcomeWords(gate: Gate, { open, refusedByFamily, needed }: Found): Message {
  if (gate === 'nothing') return say('consent-gate.free')
  if (open) return say('consent-gate.open')
  if (refusedByFamily) return say('consent-gate.refused-by-family')
  return say('consent-gate.lacking', {
    needed: needed.map((demand) => say(`consent-demand.${demand}`)),
  })
}
