import type { Attainment } from './attainment.ts'
import { type CivilDate, daysBetween } from '../calendar.ts'
import type { Milestone } from '../child.ts'
import type { Evidence } from '../facts.ts'
import { ImplausibleRecord } from '../implausible.ts'
import { type Message, type Said, say, together } from '../messages/message.ts'
import { attainedPercentile, notYetShare, type PercentileRange } from './percentile.ts'
import { WHO_MOTOR_2006 } from '../tables/who-motor-2006.ts'
import type { Finding, Truth } from '../truth.ts'
import { type Months, months } from '../units.ts'

export interface MilestoneStatus {
  readonly milestone: Milestone
  /** `left-out`: crawling that was never seen; it says nothing about pace. */
  readonly state: 'attained' | 'not-yet' | 'unknown' | 'left-out'
  /**
   * Last age seen not attained (0 when never) and first age seen attained (null when not yet),
   * months. Absent when unknown, left out, or lost after it was seen.
   */
  readonly interval?: { readonly from: Months; readonly to: Months | null }
  /** Attained: percentile of the age. Not yet: share of reference children also not there. */
  readonly percentile?: PercentileRange
  /** `milestone.<milestone>`: whether it has been attained. */
  readonly finding: Finding
  readonly evidence: readonly Evidence[]
}

/** What can be said of one milestone, before it is dressed as a status. */
interface Reading extends Pick<MilestoneStatus, 'state' | 'interval' | 'percentile'> {
  readonly holds: Truth
  readonly because: Message
}

/**
 * Has the child one milestone, since which age, and how does that compare with reference children?
 *
 * Unknown when nobody looked, or when no look decides; crawling that was never seen is left out.
 * After a loss there is no age.
 *
 * @param ageAt the age that counts on a day, months
 * @throws ImplausibleRecord for a milestone attained by the due date
 * @see WHO_MOTOR_2006
 */
export function milestoneStatus(
  one: Attainment,
  ageAt: (date: CivilDate) => Months,
): MilestoneStatus {
  const { milestone, evidence } = one
  const { holds, because, ...read } = reading(one, ageAt)
  const disagreeing = one.contradicted ? [say('attainment.contradicted')] : []
  return {
    milestone,
    ...read,
    finding: {
      rule: `milestone.${milestone}`,
      holds,
      because: together([because, ...disagreeing]),
      sources: ['who-motor-2006', 'who-motor-model'],
      evidence,
    },
    evidence,
  }
}

function reading(one: Attainment, ageAt: (date: CivilDate) => Months): Reading {
  const { milestone, onset, notYetOn } = one
  if (onset !== undefined) return attainedReading(milestone, onset, ageAt)
  if (one.regressed === 'yes') return lostReading(one)
  if (milestone === 'hands-and-knees-crawling') return crawlingReading(notYetOn)
  const of = { milestone: named(milestone) }
  if (notYetOn === undefined) {
    const because = say(one.contradicted ? 'attainment.undecided' : 'attainment.no-check', of)
    return { state: 'unknown', holds: 'unknown', because }
  }
  const from = afterTerm(ageAt(notYetOn))
  const percentile = notYetShare(milestone, from)
  const values = { ...of, age: from, share: percentile.words }
  const because =
    from === 0 ? say('attainment.not-yet-before-due', values) : say('attainment.not-yet', values)
  return { state: 'not-yet', holds: 'no', because, interval: { from, to: null }, percentile }
}

function attainedReading(
  milestone: Milestone,
  onset: NonNullable<Attainment['onset']>,
  ageAt: (date: CivilDate) => Months,
): Reading {
  const to = ageAt(onset.notAfter)
  if (!(to > 0))
    throw new ImplausibleRecord('milestoneChecks', 'a milestone was attained by the due date')
  const from = onset.notBefore === undefined ? months(0) : afterTerm(ageAt(onset.notBefore))
  const percentile = attainedPercentile(milestone, { from, to })
  const values = { milestone: named(milestone), to, percentile: percentile.words }
  const because =
    from === 0 ? say('attainment.by', values) : say(spanOf(onset), { ...values, from })
  return { state: 'attained', holds: 'yes', because, interval: { from, to }, percentile }
}

/** Dated to the day there is nothing between. */
const spanOf = ({ notBefore, notAfter }: NonNullable<Attainment['onset']>) =>
  notBefore !== undefined && daysBetween(notBefore, notAfter) <= 1
    ? 'attainment.at'
    : 'attainment.between'

/** Seen and later not seen; whether it is there again is what the latest day says, if it says one thing. */
function lostReading({ milestone, current }: Attainment): Reading {
  const of = { milestone: named(milestone) }
  if (current === 'yes')
    return { state: 'attained', holds: 'yes', because: say('attainment.regained', of) }
  return current === 'no'
    ? { state: 'not-yet', holds: 'no', because: say('attainment.lost', of) }
    : { state: 'unknown', holds: 'unknown', because: say('attainment.lost-unclear', of) }
}

function crawlingReading(notYetOn: CivilDate | undefined): Reading {
  const values = {
    milestone: named('hands-and-knees-crawling'),
    never: WHO_MOTOR_2006.neverCrawledPercent,
  }
  return notYetOn === undefined
    ? { state: 'left-out', holds: 'unknown', because: say('attainment.crawling-unknown', values) }
    : { state: 'left-out', holds: 'no', because: say('attainment.crawling-not-seen', values) }
}

/** Before the due date nobody has a milestone: such a look says no more than "not at birth". */
const afterTerm = (age: Months): Months => months(Math.max(0, age))

const named = (milestone: Milestone): Said => say(`milestone.${milestone}`)
