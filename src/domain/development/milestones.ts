import { ageOn } from './age.ts'
import { type Attainment, attainment } from './attainment.ts'
import { type CivilDate, latestDay } from '../calendar.ts'
import { type Child, type DescribedSkill, MILESTONES } from '../child.ts'
import { type Message, say } from '../messages/message.ts'
import { type MilestoneStatus, milestoneStatus } from './milestone-status.ts'
import { type SimpleAgeEquivalent, simpleAgeEquivalent } from './simple-age-equivalent.ts'
import type { AssessmentRules } from '../assessed-child.ts'
import { describedSkills, bearsWeight } from './skills.ts'
import { anyOf, type Finding, type Truth } from '../truth.ts'
import type { Months } from '../units.ts'

export type { MilestoneStatus } from './milestone-status.ts'
export type { PercentileRange } from './percentile.ts'

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
export function milestones(child: Child, asOf: CivilDate, rules: AssessmentRules): Milestones {
  const ageAt = agesByDate(child, asOf, rules)
  const attainments = MILESTONES.map((milestone) => attainment(child, milestone, asOf, rules))
  const statuses = attainments.map((one) => milestoneStatus(one, ageAt))
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
function agesByDate(
  child: Child,
  asOf: CivilDate,
  rules: AssessmentRules,
): (date: CivilDate) => Months {
  const known = new Map([[asOf, ageOn(child, asOf, rules)]])
  return (date) => {
    const age = known.get(date) ?? ageOn(child, date, rules)
    known.set(date, age)
    return age
  }
}

function regression(attainments: readonly Attainment[]): Finding {
  const looked = attainments.filter(({ evidence }) => evidence.length > 0)
  const holds = looked.length === 0 ? 'unknown' : anyOf(looked.map(({ regressed }) => regressed))
  const open = looked.filter(({ regressed }) => regressed === holds)
  const evidence = [...new Set(open.flatMap((one) => one.evidence))].toSorted()
  const because = whyRegressed(holds, open)
  return { rule: 'regression', holds, because, sources: ['common-practice'], evidence }
}

function whyRegressed(holds: Truth, open: readonly Attainment[]): Message {
  if (holds === 'no') return say('regression.no')
  const milestones = open.map(({ milestone }) => say(`milestone.${milestone}`))
  if (holds === 'yes') return say('regression.yes', { milestones })
  return milestones.length === 0
    ? say('regression.no-check')
    : say('regression.dates-disagree', { milestones })
}

function walksAlone(walking: Attainment | undefined): Finding {
  const holds = walking?.current ?? 'unknown'
  const because = say(`walks-alone.${holds}`)
  const evidence = walking?.evidence ?? []
  return { rule: 'walks-alone', holds, because, sources: ['who-motor-2006'], evidence }
}
