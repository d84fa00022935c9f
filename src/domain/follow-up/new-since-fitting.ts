import { attainment } from '../development/attainment.ts'
import { addDays, type CivilDate } from '../calendar.ts'
import {
  type Child,
  DESCRIBED_SKILLS,
  type DescribedSkill,
  type Milestone,
  MILESTONES,
} from '../child.ts'
import type { Evidence } from '../facts.ts'
import { type Said, say } from '../messages/message.ts'
import type { FittingDays } from './looks-around-fitting.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { SourceId } from '../tables/sources.ts'
import type { Finding, Truth } from '../truth.ts'

/** What became of a milestone or a described skill since the fitting. */
export interface SinceFitting {
  readonly what: Milestone | DescribedSkill
  /**
   * `new`: it began after the fitting. `had`: it was there by then. `not-yet`: not there at a recent
   * look. `lost`: a milestone seen, and not seen at the latest look after the fitting. `unclear`:
   * looks that do not tell. `unknown`: nobody looked, or not recently.
   */
  readonly state: 'new' | 'had' | 'not-yet' | 'lost' | 'unclear' | 'unknown'
  /** `new-since-fitting.<what>` */
  readonly finding: Finding
}

export interface SkillsSinceFitting {
  /** In the order of MILESTONES; crawling is left out when a child who walks never crawled. */
  readonly milestones: readonly SinceFitting[]
  /** In the order of DESCRIBED_SKILLS. */
  readonly skills: readonly SinceFitting[]
}

/**
 * Which milestones and described skills are new since the fitting?
 *
 * New when it began after the day of the fitting for certain: seen later, and not there at a look on
 * that day or after. Seen later without such a look it may have been there before: unclear. Not yet
 * only by a look on the day or in the days of the rule set before it; an older look says nothing about today.
 *
 * @throws ImplausibleRecord as `attainment`
 */
export function newSinceFitting(
  child: Child,
  days: FittingDays,
  rules: RuleSet,
): SkillsSinceFitting {
  const recent = addDays(days.asOf, -rules.followUp.lookDays)
  const walks = attainment(child, 'walking-alone', days.asOf, rules).onset !== undefined
  const milestones = MILESTONES.flatMap((what) => {
    const one = attainment(child, what, days.asOf, rules)
    if (what === 'hands-and-knees-crawling' && walks && one.onset === undefined) return []
    const state = one.regressed === 'yes' ? lostOf(child, what, days) : stateOf(one, days, recent)
    return [since({ what, state, sources: ['who-motor-2006', 'judgement'] }, one.evidence)]
  })
  const skills = DESCRIBED_SKILLS.map((what) => {
    const { evidence, ...looks } = skillLooks(child, what, days.asOf)
    const state = looks.unclear ? 'unclear' : stateOf(looks, days, recent)
    return since({ what, state, sources: ['common-practice', 'judgement'] }, evidence)
  })
  return { milestones, skills }
}

interface Looks {
  readonly onset?: { readonly notBefore?: CivilDate; readonly notAfter: CivilDate }
  readonly notYetOn?: CivilDate
}

function stateOf(
  { onset, notYetOn }: Looks,
  { fittedOn }: FittingDays,
  recent: CivilDate,
): SinceFitting['state'] {
  if (onset === undefined)
    return notYetOn !== undefined && notYetOn >= recent ? 'not-yet' : 'unknown'
  if (onset.notAfter <= fittedOn) return 'had'
  return onset.notBefore !== undefined && onset.notBefore >= fittedOn ? 'new' : 'unclear'
}

/** A loss of before the fitting, and one that came back, is no loss since. */
function lostOf(
  { milestoneChecks }: Child,
  what: Milestone,
  { fittedOn, asOf }: FittingDays,
): SinceFitting['state'] {
  const latest = milestoneChecks
    .filter(({ value, on }) => value.milestone === what && on <= asOf)
    .toSorted((a, b) => a.on.localeCompare(b.on))
    .at(-1)
  return latest !== undefined && !latest.value.attained && latest.on > fittedOn ? 'lost' : 'unclear'
}

/** A described skill that is no longer seen is unclear: cruising is given up for walking. */
function skillLooks({ skillChecks }: Child, skill: DescribedSkill, asOf: CivilDate) {
  const checks = skillChecks.filter(({ value, on }) => value.skill === skill && on <= asOf)
  const days = (attained: boolean) =>
    checks
      .filter(({ value }) => value.attained === attained)
      .map(({ on }) => on)
      .toSorted()
  const [seen] = days(true)
  const without = days(false).at(-1)
  return {
    unclear: seen !== undefined && without !== undefined && without >= seen,
    ...(seen && { onset: { notAfter: seen, ...(without && { notBefore: without }) } }),
    ...(without && { notYetOn: without }),
    evidence: [...new Set(checks.map(({ evidence }) => evidence))].toSorted(),
  }
}

const HOLDS: Readonly<Record<SinceFitting['state'], Truth>> = {
  new: 'yes',
  had: 'no',
  'not-yet': 'no',
  lost: 'no',
  unclear: 'unknown',
  unknown: 'unknown',
}

/** What a milestone or a described skill is called within a sentence. */
export const skillTerm = (what: SinceFitting['what']): Said =>
  isMilestone(what) ? say(`milestone.${what}`) : say(`skill.${what}`)

const isMilestone = (what: SinceFitting['what']): what is Milestone =>
  MILESTONES.some((milestone) => milestone === what)

function since(
  { what, state, sources }: Omit<SinceFitting, 'finding'> & { readonly sources: SourceId[] },
  evidence: readonly Evidence[],
): SinceFitting {
  const rule = `new-since-fitting.${what}`
  const because = say(`new-since-fitting.${state}`, { what: skillTerm(what) })
  return { what, state, finding: { rule, holds: HOLDS[state], because, sources, evidence } }
}
