import { addDays, type CivilDate, earliestDay, latestDay } from '../calendar.ts'
import type { Child, Milestone, MilestoneCheck } from '../child.ts'
import type { Evidence, Fact } from '../facts.ts'
import { ImplausibleRecord } from '../implausible.ts'
import type { AssessmentRules } from '../assessed-child.ts'
import { type Truth, truth } from '../truth.ts'

/** What all checks of one milestone say together. */
export interface Attainment {
  readonly milestone: Milestone
  /** Whether the child has it, by the latest look. Unknown when nobody looked, or that day disagrees. */
  readonly current: Truth
  /** The days between which it began; absent when not yet, and when it was lost. */
  readonly onset?: { readonly notBefore?: CivilDate; readonly notAfter: CivilDate }
  /** The latest day on which it was looked for and not there, when it was never there. */
  readonly notYetOn?: CivilDate
  /** Seen and on a later day not seen. Unknown when dates disagree in a way that could mean it. */
  readonly regressed: Truth
  /** Checks of one day disagree; none of them is used. */
  readonly contradicted: boolean
  readonly evidence: readonly Evidence[]
}

/** On this day the child was seen with or without the milestone. */
interface Look {
  readonly on: CivilDate
  readonly attained: boolean
  /** The professional dated the beginning: the day before, it was not there. */
  readonly firstDay: boolean
}

/** A caregiver remembers that it began between these days, both included. */
interface Remembered {
  readonly from: CivilDate
  readonly to: CivilDate
}

/**
 * When did the child attain a milestone, from every check on record up to a day?
 *
 * Attained lies after the last day seen without it and not after the first day seen with it. A
 * professional's date is a point: not there the day before, there on that day. A caregiver's date
 * holds to the days of the rule set on either side, cut by the day of the report and by every look;
 * where a look leaves nothing of it, the look counts. Two looks of one day that disagree are both
 * left out. Nothing is inferred from other milestones, but crawling that a walking child has given up is
 * no look at all. The order of the checks does not matter.
 *
 * @param asOf checks after this day are not seen
 * @throws ImplausibleRecord for a check before birth or a beginning after its report
 */
export function attainment(
  child: Child,
  milestone: Milestone,
  asOf: CivilDate,
  rules: AssessmentRules,
): Attainment {
  const checks = child.milestoneChecks.filter(
    (check) => check.value.milestone === milestone && check.on <= asOf && !isOutgrown(child, check),
  )
  for (const check of checks) refuseImplausible(check, child.birthDate.value)

  const all = checks.flatMap(looksOf)
  const looks = all.filter((look) => !all.some((other) => disagree(look, other)))
  const memories = checks.flatMap((check) => rememberedBy(check, rules))
  const regressed = regression(all, looks, memories)
  const onset = regressed === 'yes' ? undefined : onsetOf(looks, memories, child.birthDate.value)
  const everSeen = looks.some((look) => look.attained)
  const notYetOn = everSeen ? undefined : latestDay(looks.map((look) => look.on))
  return {
    milestone,
    current: currentState(all),
    ...(onset === undefined ? {} : { onset }),
    ...(notYetOn === undefined ? {} : { notYetOn }),
    regressed,
    contradicted: looks.length < all.length,
    evidence: [...new Set(checks.map((check) => check.evidence))].toSorted(),
  }
}

/** A child who walks alone gives up crawling, which is no loss of a skill (judgement). */
function isOutgrown({ milestoneChecks }: Child, { value, on }: Fact<MilestoneCheck>): boolean {
  if (value.milestone !== 'hands-and-knees-crawling' || value.attained) return false
  return milestoneChecks.some(
    (check) => check.value.milestone === 'walking-alone' && check.value.attained && check.on <= on,
  )
}

function refuseImplausible({ value, on }: Fact<MilestoneCheck>, born: CivilDate): void {
  const { attained, attainedOn } = value
  if (on < born) refuse('a milestone was checked before birth')
  if (attainedOn === undefined) return
  if (!attained) refuse('a milestone that is not attained has a day of attainment')
  if (attainedOn < born) refuse('a milestone was attained before birth')
  if (attainedOn > on) refuse('a milestone was attained after the day of the report')
}

function refuse(why: string): never {
  throw new ImplausibleRecord('milestoneChecks', why)
}

function looksOf({ value, on }: Fact<MilestoneCheck>): readonly Look[] {
  const dated = value.reportedBy === 'professional' ? value.attainedOn : undefined
  const look = { on, attained: value.attained, firstDay: false }
  return dated === undefined ? [look] : [look, { on: dated, attained: true, firstDay: true }]
}

function rememberedBy(
  { value, on }: Fact<MilestoneCheck>,
  rules: AssessmentRules,
): readonly Remembered[] {
  if (value.attainedOn === undefined || value.reportedBy === 'professional') return []
  const margin = rules.milestones.caregiverDateDays
  const to = addDays(value.attainedOn, margin)
  return [{ from: addDays(value.attainedOn, -margin), to: to < on ? to : on }]
}

const disagree = (a: Look, b: Look): boolean => a.on === b.on && a.attained !== b.attained

function currentState(all: readonly Look[]): Truth {
  const last = latestDay(all.map((look) => look.on))
  const ofDay = all.filter((look) => look.on === last)
  const [first] = ofDay
  if (first === undefined || ofDay.some((look) => disagree(look, first))) return 'unknown'
  return truth(first.attained)
}

function regression(
  all: readonly Look[],
  looks: readonly Look[],
  memories: readonly Remembered[],
): Truth {
  const without = latestDay(looks.filter((look) => !look.attained).map((look) => look.on))
  const seen = earliestDay(looks.filter((look) => look.attained).map((look) => look.on))
  if (seen !== undefined && without !== undefined && without > seen) return 'yes'
  const contradictedLater = all.some(
    (look) => seen !== undefined && look.on > seen && !looks.includes(look),
  )
  const remembered = memories.some(({ to }) => without !== undefined && without >= to)
  return contradictedLater || remembered ? 'unknown' : 'no'
}

function onsetOf(
  looks: readonly Look[],
  memories: readonly Remembered[],
  born: CivilDate,
): Attainment['onset'] {
  const seen = earliestDay(looks.filter((look) => look.attained).map((look) => look.on))
  if (seen === undefined) return undefined
  const dated = looks.some((look) => look.firstDay && look.on === seen)
  const without = looks.filter((look) => !look.attained).map((look) => look.on)
  const last = latestDay(dated ? [...without, addDays(seen, -1)] : without)
  const kept = memories.filter(({ to }) => last === undefined || to > last)
  const notAfter = earliestDay([seen, ...kept.map(({ to }) => to)]) ?? seen
  const bounds = [...kept.map(({ from }) => from), ...(last === undefined ? [] : [last])]
  const notBefore = latestDay(bounds.filter((day) => day >= born && day < notAfter))
  return notBefore === undefined ? { notAfter } : { notBefore, notAfter }
}
