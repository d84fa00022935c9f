import type { CivilDate } from '../domain/calendar.ts'
import type { Milestone } from '../domain/child.ts'
import { ageOn } from '../domain/development/age.ts'
import type { MilestoneStatus } from '../domain/development/milestones.ts'
import type { Interval } from '../domain/development/pace.ts'
import type { ExpectedMilestone } from '../domain/development/tempo.ts'
import { type Message, say } from '../domain/messages/message.ts'
import { WHO_MOTOR_2006 } from '../domain/tables/who-motor-2006.ts'
import type { PictureFacts } from './picture-facts.ts'

/** The published windows of the milestones with what was seen of the child; ages in months, as the rules use them. */
export interface MilestonesPicture {
  /** On the day of the findings. */
  readonly age: number
  readonly isCorrected: boolean
  /** How far the axis reaches. */
  readonly toMonths: number
  /** Of the delivery of the devices in use. */
  readonly fittedAt?: number
  readonly rows: readonly MilestoneRow[]
  readonly paces: readonly PaceRow[]
  /** What has no place in the drawing, or belongs to it. */
  readonly sentences: readonly Message[]
}

export interface MilestoneRow extends Pick<MilestoneStatus, 'milestone' | 'state' | 'interval'> {
  readonly window: (typeof WHO_MOTOR_2006.months)[Milestone]
  readonly expected?: ExpectedAges
  readonly because: Message
}

/** The days by which it is expected, with the ages on them; no latest where it lies beyond the forecast. */
export interface ExpectedAges {
  readonly earliest: AgeOnDay
  readonly median: AgeOnDay
  readonly latest?: AgeOnDay
  readonly because: Message
}

export interface AgeOnDay {
  readonly on: CivilDate
  readonly age: number
}

/** Pace of gross motor development, 1 typical, with its interval. */
export interface PaceRow {
  readonly of: 'today' | 'before' | 'after'
  readonly value: number
  readonly interval: Interval
}

export function milestonesPicture(facts: PictureFacts): MilestonesPicture {
  const { triage, rules, fitting } = facts
  const { ages, child, milestones, tempo } = triage
  const on = (day: CivilDate): AgeOnDay => ({ on: day, age: ageOn(child, day, rules) })
  const expected = tempo.state === 'estimated' ? tempo.expected : []
  const drawn: Drawn = {
    age: ages.months,
    ...(fitting !== undefined && { fittedAt: on(fitting.deliveredOn).age }),
    rows: milestones.statuses.map(({ milestone, state, interval, finding }): MilestoneRow => {
      const ahead = expected.find((one) => one.milestone === milestone)
      return {
        milestone,
        window: WHO_MOTOR_2006.months[milestone],
        state,
        ...(interval !== undefined && { interval }),
        ...(ahead !== undefined && { expected: expectedAges(ahead, on) }),
        because: finding.because,
      }
    }),
  }
  return {
    ...drawn,
    isCorrected: ages.used === 'corrected',
    toMonths: lastMonth(drawn),
    paces: pacesOf(facts),
    sentences: sentencesOf(facts),
  }
}

const expectedAges = (
  { earliest, median, latest, because }: ExpectedMilestone,
  on: (day: CivilDate) => AgeOnDay,
): ExpectedAges => ({
  earliest: on(earliest),
  median: on(median),
  ...(latest !== undefined && { latest: on(latest) }),
  because,
})

function pacesOf({ triage: { tempo }, fitting }: PictureFacts): PaceRow[] {
  if (fitting?.found.change.state === 'estimated') {
    const { before, after } = fitting.found.change
    return [
      { of: 'before', ...before },
      { of: 'after', ...after },
    ]
  }
  return tempo.state === 'estimated'
    ? [{ of: 'today', value: tempo.tempo, interval: tempo.tempoInterval }]
    : []
}

type Drawn = Pick<MilestonesPicture, 'rows' | 'age' | 'fittedAt'>

/** The last window ends at 17.6 months. */
const LEAST_MONTHS = 20
/** A child beyond this is said to be older, so that the windows stay wide enough to read. */
const MOST_MONTHS_OF_TODAY = 36

function lastMonth({ rows, age, fittedAt = 0 }: Drawn): number {
  const seen = rows.flatMap(({ interval, expected }) => [
    interval?.from ?? 0,
    interval?.to ?? 0,
    expected?.median.age ?? 0,
    expected?.latest?.age ?? 0,
  ])
  const today = age <= MOST_MONTHS_OF_TODAY ? age : 0
  return Math.ceil(Math.max(LEAST_MONTHS, today, fittedAt, ...seen)) + 1
}

/** Where two paces are drawn the sentence about them carries its caution. */
function sentencesOf({ triage: { tempo }, fitting }: PictureFacts): Message[] {
  const change = fitting === undefined ? [] : [fitting.found.change.finding.because]
  if (fitting?.found.change.state === 'estimated') return change
  return [
    tempo.finding.because,
    ...change,
    ...(fitting === undefined ? [say('milestones-picture.no-fitting')] : []),
  ]
}
