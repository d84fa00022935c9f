import { ageOn } from './age.ts'
import { type Attainment, attainment } from './attainment.ts'
import { type CivilDate, latestDay } from '../calendar.ts'
import { type Child, type DescribedSkill, type Milestone, MILESTONES } from '../child.ts'
import type { Evidence } from '../facts.ts'
import { ImplausibleRecord } from '../implausible.ts'
import { type SimpleAgeEquivalent, simpleAgeEquivalent } from './simple-age-equivalent.ts'
import { attainedPercentile, notYetShare, type PercentileRange } from './percentile.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { describedSkills, bearsWeight } from './skills.ts'
import { anyOf, type Finding, type Truth } from '../truth.ts'
import { type Months, months } from '../units.ts'

export type { PercentileRange } from './percentile.ts'

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

export interface Milestones {
  /** In the order of MILESTONES. */
  readonly statuses: readonly MilestoneStatus[]
  readonly skills: readonly { readonly skill: DescribedSkill; readonly finding: Finding }[]
  /** A skill seen and later not seen: red flag, no tempo. */
  readonly regression: Finding
  /** `stands with assistance or beyond, or pulls to stand`. */
  readonly bearsWeight: Finding
  readonly walksAlone: Finding
  /** The days between which walking alone began. `notBefore` is absent when never seen not walking. */
  readonly walkingOnset?: { readonly notBefore?: CivilDate; readonly notAfter: CivilDate }
  /** The day by which the newest milestone was attained, for the stalled rule. */
  readonly lastAttainedOn?: CivilDate
  /** Shown beside the model, never mixed. Absent after a regression too. */
  readonly simpleAgeEquivalent?: SimpleAgeEquivalent
}

/**
 * Which gross motor milestones does the child have, since which age, and how does that compare?
 *
 * Ages are those the rules use (corrected for a child born before term while under the limit).
 * Checks after `asOf` are not seen. A milestone nobody looked at is unknown, whatever the others
 * say; crawling that was never seen is left out, since 4.3 % of the reference children never crawled.
 *
 * @throws ImplausibleRecord for a check before birth, or a milestone attained by the due date
 * @see WHO_MOTOR_2006
 */
export function milestones(child: Child, asOf: CivilDate, rules: RuleSet): Milestones {
  const ageAt = agesByDate(child, asOf, rules)
  const attainments = MILESTONES.map((milestone) => attainment(child, milestone, asOf, rules))
  const statuses = attainments.map((one) => status(one, ageAt))
  const skills = describedSkills(child, asOf)
  const walking = attainments.find(({ milestone }) => milestone === 'walking-alone')
  const lastAttainedOn = latestDay(
    attainments.flatMap(({ onset }) => (onset === undefined ? [] : [onset.notAfter])),
  )
  const regressed = regression(attainments)
  const attained = statuses.filter(({ state }) => state === 'attained')
  const latestLook = latestDay(child.milestoneChecks.map(({ on }) => on).filter((on) => on <= asOf))
  const simple =
    regressed.holds === 'yes' || latestLook === undefined
      ? undefined
      : simpleAgeEquivalent(
          attained.map(({ milestone }) => milestone),
          ageAt(latestLook),
        )
  return {
    statuses,
    skills,
    regression: regressed,
    bearsWeight: bearsWeight(attainments, skills),
    walksAlone: walksAlone(walking),
    ...(walking?.onset === undefined ? {} : { walkingOnset: walking.onset }),
    ...(lastAttainedOn === undefined ? {} : { lastAttainedOn }),
    ...(simple === undefined ? {} : { simpleAgeEquivalent: simple }),
  }
}

/** Most checks are of the same few visits, so each day is worked out once. */
function agesByDate(child: Child, asOf: CivilDate, rules: RuleSet): (date: CivilDate) => Months {
  const known = new Map([[asOf, ageOn(child, asOf, rules)]])
  return (date) => {
    const age = known.get(date) ?? ageOn(child, date, rules)
    known.set(date, age)
    return age
  }
}

/** What can be said of one milestone, before it is dressed as a status. */
interface Reading extends Pick<MilestoneStatus, 'state' | 'interval' | 'percentile'> {
  readonly holds: Truth
  readonly because: string
}

function status(one: Attainment, ageAt: (date: CivilDate) => Months): MilestoneStatus {
  const { milestone, evidence } = one
  const { holds, because, ...read } = reading(one, ageAt)
  const note = one.contradicted ? '; checks of one day disagree and are left out' : ''
  return {
    milestone,
    ...read,
    finding: {
      rule: `milestone.${milestone}`,
      holds,
      because: because + note,
      sources: ['who-motor-2006', 'who-motor-model'],
      evidence,
    },
    evidence,
  }
}

function reading(one: Attainment, ageAt: (date: CivilDate) => Months): Reading {
  const { milestone, onset, notYetOn } = one
  if (onset !== undefined) return attainedReading(milestone, onset, ageAt)
  if (one.regressed === 'yes')
    return one.current === 'yes'
      ? { state: 'attained', holds: 'yes', because: 'seen, later not seen, seen again: no age' }
      : { state: 'not-yet', holds: 'no', because: 'seen before and not seen at the latest look' }
  if (milestone === 'hands-and-knees-crawling') {
    const because = 'crawling counts only when seen: some children never crawl'
    return { state: 'left-out', holds: notYetOn === undefined ? 'unknown' : 'no', because }
  }
  if (notYetOn === undefined)
    return { state: 'unknown', holds: 'unknown', because: 'no check on record' }

  const from = afterTerm(ageAt(notYetOn))
  const percentile = notYetShare(milestone, from)
  const because = `not yet at ${written(from)} months, like ${percentile.text} of reference children`
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
  const when = from === 0 ? `by ${written(to)}` : `between ${written(from)} and ${written(to)}`
  const rank = percentile.text.endsWith('percentile')
    ? percentile.text
    : `${percentile.text} percentile`
  const because = `attained ${when} months: ${rank}`
  return { state: 'attained', holds: 'yes', because, interval: { from, to }, percentile }
}

function regression(attainments: readonly Attainment[]): Finding {
  const looked = attainments.filter(({ evidence }) => evidence.length > 0)
  const holds = looked.length === 0 ? 'unknown' : anyOf(looked.map(({ regressed }) => regressed))
  const open = looked.filter(({ regressed }) => regressed === holds)
  const names = open.map(({ milestone }) => spoken(milestone)).join(', ')
  const because = {
    yes: `seen and later not seen: ${names}; look again and ask a physician first`,
    no: 'no milestone on record was seen and later not seen',
    unknown:
      looked.length === 0
        ? 'no milestone check on record'
        : `dates disagree, so a loss cannot be ruled out: ${names}`,
  }[holds]
  const evidence = [...new Set(open.flatMap((one) => one.evidence))].toSorted()
  return { rule: 'regression', holds, because, sources: ['common-practice'], evidence }
}

function walksAlone(walking: Attainment | undefined): Finding {
  const holds = walking?.current ?? 'unknown'
  const because = {
    yes: 'walks alone at the latest look',
    no: 'does not walk alone at the latest look',
    unknown: 'no check of walking alone that decides it',
  }[holds]
  const evidence = walking?.evidence ?? []
  return { rule: 'walks-alone', holds, because, sources: ['who-motor-2006'], evidence }
}

/** Before the due date nobody has a milestone: such a look says no more than "not at birth". */
const afterTerm = (age: Months): Months => months(Math.max(0, age))
const written = (age: Months): string => age.toFixed(1)
const spoken = (milestone: Milestone): string => milestone.replaceAll('-', ' ')
