import { addDays, civilDate } from '../../src/domain/calendar.ts'
import {
  type DescribedSkill,
  type Milestone,
  type MilestoneCheck,
  MILESTONES,
} from '../../src/domain/child.ts'
import { fact } from './child.ts'

/** Birth date of the invented children of the milestone tests. */
export const BORN = civilDate('2024-09-01')
export const dayOf = (days: number) => addDays(BORN, days)
/** The day nearest to an age in months of 30.4375 days. */
export const dayAt = (months: number) => dayOf(Math.round(months * 30.4375))

/** One look at one milestone so many days after birth. */
export const look = (
  milestone: Milestone,
  days: number,
  attained: boolean,
  more: Partial<MilestoneCheck> = {},
) =>
  fact<MilestoneCheck>(
    { milestone, attained, reportedBy: 'professional', ...more },
    dayOf(days),
    `Observation/${milestone}-${days}-${attained}-${more.reportedBy ?? 'professional'}/_history/1`,
  )

/** A visit at which all six milestones were looked at. */
export const visit = (days: number, attained: readonly Milestone[]) =>
  MILESTONES.map((milestone) => look(milestone, days, attained.includes(milestone)))

export const skillLook = (skill: DescribedSkill, days: number, attained: boolean) =>
  fact({ skill, attained }, dayOf(days), `Observation/${skill}-${days}-${attained}/_history/1`)
