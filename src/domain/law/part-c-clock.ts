import { addDays, type CivilDate } from '../calendar.ts'
import { type ClockException, type Excluded, excludedDays } from './clock-exceptions.ts'
import { evidenceOfAll, uniqueEvidence } from '../evidence.ts'
import type { Recorded } from '../facts.ts'
import { type DeadlineSettings, deadline, type LawDate, type Told, undated } from './law-date.ts'
import { day, say } from '../messages/message.ts'
import { IDEA_PART_C } from '../tables/idea-part-c.ts'
import type { Finding, Truth } from '../truth.ts'

/**
 * By when must a primary referral source refer to early intervention? Seven calendar days after the
 * child was identified. Unknown without that day.
 *
 * @see SOURCES idea-303-303, idea-303-9
 */
export function referralDue(
  identifiedOn: Recorded<CivilDate>,
  settings: DeadlineSettings,
): LawDate {
  const { days, section } = IDEA_PART_C.referWithin
  const told: Told = {
    rule: 'part-c.referral-due',
    sources: ['idea-303-303', 'idea-303-9'],
    evidence: evidenceOfAll([identifiedOn]),
  }
  if (identifiedOn === 'unknown')
    return undated(told, 'unknown', say('part-c.referral-due.unknown'))
  const words = say('part-c.referral-due.yes', { days, section })
  return deadline(told, addDays(identifiedOn.value, days), words, settings)
}

export interface ClockFacts {
  /** The day on which the lead agency or its provider received the referral. */
  readonly receivedOn: Recorded<CivilDate>
  /** An empty list says that somebody looked and there was none. */
  readonly exceptions: Recorded<readonly ClockException[]>
}

/** The 45-day clock. `due` is the duty; `tolled` only informs, no federal text sets that date. */
export interface EvaluationClock {
  readonly due: LawDate
  readonly excludedDays: number | 'unknown'
  /** `no` when no exception counts. */
  readonly tolled: LawDate
  /** The duty after an exception: as soon as possible after this day. */
  readonly asSoonAsPossibleAfter?: CivilDate
  /** Whether an interim plan is to be considered, as it is after an exception. */
  readonly interimPlan: Truth
}

/**
 * By when are screening, evaluation, assessments and the first plan meeting to be complete?
 *
 * 45 calendar days from the receipt; under `receipt-is-day-one` the day of receipt is the first of
 * them. Exceptions never move the duty by a fixed number of days: what they would move it to is told
 * beside it. Unknown without the day of receipt; tolling is unknown without knowing the exceptions.
 *
 * @see SOURCES idea-303-310, virginia-day-one-2013, dc-5-a3107
 */
export function evaluationClock(facts: ClockFacts, settings: DeadlineSettings): EvaluationClock {
  const { receivedOn, exceptions } = facts
  const due = evaluationDue(receivedOn, settings)
  if (receivedOn === 'unknown' || due.holds !== 'yes' || exceptions === 'unknown')
    return unknownExceptions(facts, due)
  const excluded = excludedDays(exceptions.value, receivedOn.value, due.on)
  if (excluded === 'unknown') return unknownExceptions(facts, due)
  return {
    due,
    excludedDays: excluded.days,
    tolled: tolled(facts, excluded, settings),
    ...(excluded.lastEnd !== undefined && { asSoonAsPossibleAfter: excluded.lastEnd }),
    interimPlan: excluded.days > 0 ? 'yes' : 'no',
  }
}

function evaluationDue(receivedOn: Recorded<CivilDate>, settings: DeadlineSettings): LawDate {
  const { days, section } = IDEA_PART_C.completeWithin
  const dayOne = settings.countingConvention === 'receipt-is-day-one'
  const told: Told = {
    rule: 'part-c.evaluation-due',
    sources: [
      'idea-303-310',
      'idea-303-9',
      ...(dayOne ? (['virginia-day-one-2013'] as const) : []),
    ],
    evidence: evidenceOfAll([receivedOn]),
  }
  if (receivedOn === 'unknown')
    return undated(told, 'unknown', say('part-c.evaluation-due.unknown'))
  const counting = dayOne ? 'dayone' : 'after'
  const words = say('part-c.evaluation-due.yes', { days, section, counting })
  return deadline(told, addDays(receivedOn.value, dayOne ? days - 1 : days), words, settings)
}

const toldOfTolling = ({ receivedOn, exceptions }: ClockFacts): Told => ({
  rule: 'part-c.evaluation-tolled',
  sources: ['idea-303-310', 'dc-5-a3107'],
  evidence: evidenceOfAll([receivedOn, exceptions]),
})

function tolled(facts: ClockFacts, excluded: Excluded, settings: DeadlineSettings): LawDate {
  const told = toldOfTolling(facts)
  const { section } = IDEA_PART_C.exceptions
  if (excluded.lastEnd === undefined)
    return undated(told, 'no', say('part-c.evaluation-tolled.no', { section }))
  const words = say('part-c.evaluation-tolled.yes', {
    days: excluded.days,
    section,
    end: day(excluded.lastEnd),
    after: IDEA_PART_C.afterException.section,
  })
  return deadline(told, excluded.until, words, settings)
}

function unknownExceptions(facts: ClockFacts, due: LawDate): EvaluationClock {
  const why = say('part-c.evaluation-tolled.unknown')
  const finding = undated(toldOfTolling(facts), 'unknown', why)
  return { due, excludedDays: 'unknown', tolled: finding, interimPlan: 'unknown' }
}

/** The same clock where the law asks for no evaluation, as a finding says: nothing is due or stopped. */
export function clockNotRunning({ due, tolled }: EvaluationClock, why: Finding): EvaluationClock {
  const { because, sources } = why
  const none = ({ rule, evidence }: LawDate): LawDate => ({
    rule,
    holds: 'no',
    because,
    sources,
    evidence: uniqueEvidence([evidence, why.evidence]),
  })
  return { due: none(due), excludedDays: 0, tolled: none(tolled), interimPlan: 'no' }
}
