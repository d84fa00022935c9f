import { type Ages, ages } from './development/age.ts'
import type { AssessedChild, AssessmentRules } from './assessed-child.ts'
import type { CivilDate } from './calendar.ts'
import type { Child, Side } from './child.ts'
import { type Counterfactuals, counterfactuals } from './decision/counterfactuals.ts'
import type { RuleSet } from './rules/rule-set.ts'
import { type Milestones, milestones } from './development/milestones.ts'
import { type Posture, posture } from './foot/posture.ts'
import { type SizeSuccession, sizesUntil } from './device/size-succession.ts'
import { type SizeChart, type Sizing, sizing } from './device/sizing.ts'
import { type Suitability, suitability } from './decision/suitability.ts'
import { type Tempo, tempo } from './development/tempo.ts'
import { ifPreterm } from './development/unknown-gestation.ts'
import { months } from './units.ts'
import { type Urgency, urgency } from './urgency/urgency.ts'

/** Everything that is computed over a child's record on one day, under one rule set. */
export interface Triage extends AssessedChild {
  readonly child: Child
  readonly asOf: CivilDate
  readonly ruleSet: { readonly id: string; readonly version: string }
  readonly ages: Ages
  readonly milestones: Milestones
  readonly tempo: Tempo
  readonly posture: Posture
  readonly suitability: Suitability
  readonly urgency: Urgency
  readonly sizing: Sizing
}

/**
 * All rules in order. Same child, day, rule set and size chart: same findings.
 *
 * @param asOf  the day for which the answer holds; records after it are not seen
 * @param chart the sizes of the clinic's device
 * @throws ImplausibleRecord when a date or the gestation cannot be
 */
export const triage = (
  child: Child,
  asOf: CivilDate,
  { rules, chart }: { readonly rules: RuleSet; readonly chart: SizeChart },
): Triage => decided(assessed(child, asOf, rules), { rules, chart })

/**
 * What is found about a child before anything is decided: ages, milestones, pace, posture. Two rule sets
 * with the same numbers for them share it.
 *
 * @param asOf the day for which it holds; records after it are not seen
 * @throws ImplausibleRecord when a date or the gestation cannot be
 */
export function assessed(child: Child, asOf: CivilDate, rules: AssessmentRules): AssessedChild {
  const age = ages(child, asOf, rules)
  const seen = milestones(child, asOf, rules)
  const supposed = ifPreterm(child, asOf, rules)
  return {
    child,
    asOf,
    ages: age,
    milestones: seen,
    tempo: tempo(child, seen, age, rules),
    posture: posture(child, age, rules),
    ...(supposed !== undefined && { ifPreterm: supposed }),
  }
}

/** What is decided about a child that was assessed under the same numbers: who, how soon, which size. */
export function decided(
  found: AssessedChild,
  { rules, chart }: { readonly rules: RuleSet; readonly chart: SizeChart },
): Triage {
  const suitable = suitability(found, rules)
  return {
    ...found,
    ruleSet: { id: rules.id, version: rules.version },
    suitability: suitable,
    urgency: urgency({ ...found, suitability: suitable }, rules),
    sizing: sizing(found, chart, rules),
  }
}

/** A triage with what only a reader asks for: the way to another outcome, the sizes to come. */
export interface ExplainedTriage extends Triage {
  readonly counterfactuals: Counterfactuals
  /** Per foot, until the end of the age range of the clinic; unknown for a child beyond it. */
  readonly sizesToCome: Readonly<Record<Side, SizeSuccession | 'unknown'>>
}

/** The same triage, explained. @param basis what it was computed with */
export function explain(
  found: Triage,
  { rules, chart }: { readonly rules: RuleSet; readonly chart: SizeChart },
): ExplainedTriage {
  const age = months(rules.age.serviceToMonths)
  const until = (side: Side) =>
    found.ages.chronologicalMonths < age
      ? sizesUntil({ on: found, side, chart, age }, rules)
      : 'unknown'
  return {
    ...found,
    counterfactuals: counterfactuals(found, rules),
    sizesToCome: { left: until('left'), right: until('right') },
  }
}
