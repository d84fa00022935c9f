import { atOnce } from '../domain/decision/at-once.ts'
import type { Outcome } from '../domain/decision/suitability.ts'
import { type Message, say } from '../domain/messages/message.ts'
import { termsOf } from '../domain/decision/rule-terms.ts'
import type { Speaker } from '../domain/messages/speaker.ts'
import type { Triage } from '../domain/triage.ts'
import { cardDetail } from './cds-detail.ts'
import { OVERRIDE_REASONS } from './cds-overrides.ts'
import type { PointOfCare } from './cds-record.ts'
import { saidUnderWay, type UnderWay } from './cds-referrals.ts'
import type { CdsHook } from './cds-services.ts'
import { completedReferrals, draftReferral, type Suggestion } from './cds-suggestion.ts'
import { EXCHANGE_CODES } from './codes.ts'

interface Coding {
  readonly system: string
  readonly code: string
  readonly display: string
}

/** A card of CDS Hooks 2.0. */
export interface Card {
  readonly uuid: string
  readonly summary: string
  readonly detail: string
  readonly indicator: 'info' | 'warning' | 'critical'
  readonly source: { readonly label: string; readonly url: string; readonly topic: Coding }
  readonly suggestions?: readonly Suggestion[]
  readonly selectionBehavior?: 'at-most-one'
  readonly overrideReasons: readonly Coding[]
  readonly links: readonly {
    readonly label: string
    readonly url: string
    readonly type: 'absolute'
  }[]
}

interface Asked {
  readonly hook: CdsHook
  readonly child: PointOfCare
  /** Who looks at the child, as a reference, where it is somebody who may ask for an assessment. */
  readonly requester: string | undefined
  readonly speaker: Speaker
  /** The page that says how it is computed, and on what evidence. */
  readonly page: string
  /** The same role of the same call has the same id. */
  readonly idOf: (role: string) => string
}

/** What is said of a child at the point of care; nothing where nothing of it is ours to say. */
export function cardsOf(triage: Triage, asked: Asked): readonly Card[] {
  const { child } = asked
  const [age] = triage.suitability.criteria
  const isOurs =
    age?.holds !== 'no' &&
    !isDead(child) &&
    (isKnown(triage, child) || repeated(asked) !== undefined)
  return isOurs ? [card(triage, asked)] : []
}

const isDead = ({ patient }: PointOfCare): boolean =>
  patient.deceasedBoolean === true || patient.deceasedDateTime !== undefined

/** Is anything known that a rule reads, beside the child itself? */
const isKnown = ({ child }: Triage, { record }: PointOfCare): boolean =>
  record.some(({ resource }) => resource.resourceType === 'Observation') ||
  Object.keys(child.diagnoses).length > 0

function card(triage: Triage, asked: Asked): Card {
  const { speaker, page, idOf } = asked
  const suggestion = suggestionOf(triage, asked)
  const { code, system, display } = EXCHANGE_CODES.referral
  return {
    uuid: idOf('card'),
    summary: summaryOf(triage, asked),
    detail: cardDetail(triage, { speaker, referred: referredAlready(asked) }),
    indicator: indicatorOf(triage, asked),
    source: { label: 'Footing', url: page, topic: { system, code, display } },
    ...(suggestion === undefined
      ? {}
      : { suggestions: [suggestion], selectionBehavior: 'at-most-one' as const }),
    overrideReasons: OVERRIDE_REASONS.map(({ code: reason, title }) => ({
      system: reason.system,
      code: reason.code,
      display: speaker.therapist(title),
    })),
    links: [{ label: speaker.therapist(say('part.advice-page')), url: page, type: 'absolute' }],
  }
}

/** What is under way already while another referral is about to be signed. */
const repeated = ({ hook, child }: Asked): UnderWay | undefined =>
  hook === 'order-sign' ? child.referrals.underWay : undefined

/** A draft on record is no news to whoever signs one. */
function referredAlready({ hook, child }: Asked): Message | undefined {
  const { underWay, isReferred } = child.referrals
  if (underWay !== undefined) return saidUnderWay(underWay)
  return hook === 'patient-view' && isReferred ? say('advice.already-referred') : undefined
}

/** A referral is proposed where an assessment may lead to an orthosis; never a second one. */
function suggestionOf(triage: Triage, asked: Asked): Suggestion | undefined {
  const { hook, child, requester, speaker, idOf } = asked
  const from = { triage, speaker, uuid: idOf('suggestion') }
  if (repeated(asked) !== undefined) return undefined
  if (hook === 'order-sign') return completedReferrals(from, child.drafts)
  const isOpen = ['suitable', 'suitable-after-review', 'undetermined'].includes(
    triage.suitability.outcome,
  )
  return isOpen && !child.referrals.isReferred
    ? draftReferral(from, { patientId: child.patientId, requester })
    : undefined
}

const OUTCOMES: Readonly<Record<Outcome, Message>> = {
  suitable: say('part.advice-suitable'),
  'suitable-after-review': say('part.advice-suitable-after-review'),
  watch: say('part.advice-watch'),
  unsuitable: say('part.advice-unsuitable'),
  undetermined: say('part.advice-undetermined'),
}

function summaryOf({ suitability, urgency }: Triage, asked: Asked): string {
  const { therapist } = asked.speaker
  const flags = termsOf(atOnce(suitability.redFlags), 'yes')
  if (flags.length > 0) return therapist(say('part.advice-at-once', { flags }))
  const underWay = repeated(asked)
  if (underWay !== undefined) return therapist(saidUnderWay(underWay))
  const { score, priority } = urgency
  const outcome = OUTCOMES[suitability.outcome]
  return therapist(say('part.advice-summary', { outcome, score, priority }))
}

/**
 * Critical: a sign that goes to a physician at once. A warning: any other red flag, a child that cannot wait,
 * an order for a child whom no orthosis is to be offered now, or a second referral. Everything else informs.
 */
function indicatorOf({ suitability, urgency }: Triage, asked: Asked): Card['indicator'] {
  const { redFlags, outcome } = suitability
  if (atOnce(redFlags).length > 0) return 'critical'
  const isInVain =
    asked.hook === 'order-sign' &&
    (outcome === 'unsuitable' || outcome === 'watch' || repeated(asked) !== undefined)
  const isFlagged = redFlags.some(({ holds }) => holds === 'yes')
  return isFlagged || isInVain || urgency.priority !== 'routine' ? 'warning' : 'info'
}
