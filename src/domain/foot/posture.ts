import type { Ages } from '../development/age.ts'
import { calfRemark, fixedCalf, tightCalf } from './ankle-range.ts'
import type { Child, Foot, Side } from '../child.ts'
import { uniqueEvidence } from '../evidence.ts'
import { valueOf } from '../facts.ts'
import { flexibleFoot, rigidityRemark } from './foot-flexibility.ts'
import { type Message, say, together } from '../messages/message.ts'
import { fpiSum, sideDifference } from './foot-posture-index.ts'
import { planesOf } from './posture-planes.ts'
import type { AssessmentRules } from '../assessed-child.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { HEEL_RULES } from '../tables/heel-rules.ts'
import type { Finding, Truth } from '../truth.ts'
import { allOf, TRUTHS } from '../truth.ts'
import type { Months } from '../units.ts'
import { yearsOf } from '../units.ts'

export const PLANES = ['coronal', 'sagittal', 'transverse'] as const
export type Plane = (typeof PLANES)[number]

export interface PlanePosture {
  readonly plane: Plane
  /** `excessive-pronation.<plane>`: met, not met, unknown. */
  readonly finding: Finding
  /** At its pronated end. */
  readonly marked: Truth
  /** The measure that decided, for instance `fpi-item-3` or `resting-heel-eversion`. */
  readonly measure?: string
}

export interface FpiSum {
  /** Present only when all six items are there. */
  readonly sum?: number
  readonly low: number
  readonly high: number
  readonly band?: 'highly-supinated' | 'supinated' | 'normal' | 'pronated' | 'highly-pronated'
  /** (sum - 4) / 3, from 3 years only. */
  readonly z?: number
  readonly note: Message
}

export interface FootPosture {
  readonly side: Side
  readonly planes: readonly PlanePosture[]
  /** `excessive-pronation.<side>`: all three planes met in standing. */
  readonly excessivePronation: Finding
  readonly fpi?: FpiSum
  /** `flexible-foot.<side>`. */
  readonly flexible: Finding
  /** `tight-calf.<side>`: under the flag. */
  readonly tightCalf: Finding
  /** `fixed-calf.<side>`: cannot reach neutral. */
  readonly fixedCalf: Finding
  /** Sentences worth saying: the age rule of thumb, one plane alone, a description only. */
  readonly remarks: readonly Message[]
}

export interface Posture {
  readonly left: FootPosture
  readonly right: FootPosture
  readonly sideDifference?: {
    readonly points: number
    readonly band: 'usual' | 'asymmetry' | 'severe'
    readonly note: Message
  }
}

/**
 * How does each foot stand, does it correct, and how far does the ankle bend?
 *
 * The age that counts is `ages.months`. Whatever is not recorded is `unknown`, plane by plane and foot
 * by foot; nothing is inferred from the other foot.
 */
export function posture(child: Child, ages: Ages, rules: AssessmentRules): Posture {
  const left = footPosture('left', child.feet.left, ages.months, rules.posture)
  const right = footPosture('right', child.feet.right, ages.months, rules.posture)
  const difference = sideDifference(left.fpi, right.fpi)
  return { left, right, ...(difference !== undefined && { sideDifference: difference }) }
}

/** The same for one foot. */
export function footPosture(
  side: Side,
  foot: Foot,
  age: Months,
  limits: RuleSet['posture'],
): FootPosture {
  const { planes, remarks } = planesOf(foot, age, limits)
  const fpi = fpiSum(foot.fpi, age, limits.fpiZFromMonths)
  const flexible = flexibleFoot(side, foot)
  return {
    side,
    planes,
    excessivePronation: excessivePronation(side, planes),
    ...(fpi !== undefined && { fpi }),
    flexible,
    tightCalf: tightCalf(side, foot, limits),
    fixedCalf: fixedCalf(side, foot, limits),
    remarks: [
      ...onePlaneAlone(planes),
      ...remarks,
      ...heelRemark(foot, age),
      ...rigidityRemark(foot, flexible),
      ...calfRemark(foot, limits),
    ],
  }
}

/** All three planes met in standing. Common practice. */
function excessivePronation(side: Side, planes: readonly PlanePosture[]): Finding {
  const holds = allOf(planes.map(({ finding }) => finding.holds))
  const named = TRUTHS.flatMap((answer) => {
    const these = planes.filter(({ finding }) => finding.holds === answer)
    if (these.length === 0) return []
    return [
      say(`foot-planes.${answer}`, { planes: these.map(({ plane }) => say(`plane.${plane}`)) }),
    ]
  })
  return {
    rule: `excessive-pronation.${side}`,
    holds,
    because: together([
      say(`foot-pronation.${holds}`, { side }),
      // Of three planes that are all met, the sentence says so itself.
      ...(holds === 'yes' ? [] : named),
    ]),
    sources: ['common-practice'],
    evidence: uniqueEvidence(planes.map(({ finding }) => finding.evidence)),
  }
}

function onePlaneAlone(planes: readonly PlanePosture[]): readonly Message[] {
  const met = planes.filter(({ finding }) => finding.holds === 'yes')
  const notMet = planes.filter(({ finding }) => finding.holds === 'no')
  const alone = met.length === 1 && notMet.length === planes.length - 1
  return alone ? [say('foot-remark.one-plane-alone')] : []
}

/** Opinions about the heel by age, said beside the measure and used by no rule. */
function heelRemark(foot: Foot, age: Months): readonly Message[] {
  const eversion = valueOf(foot.heelEversion)
  const { sevenLessAge, eightLessAge, measured } = HEEL_RULES
  const years = yearsOf(age)
  if (eversion === undefined || !(years >= 0 && years <= sevenLessAge.start)) return []
  return [
    say('foot-remark.heel-by-age', {
      eversion,
      sevenStart: sevenLessAge.start,
      seven: sevenLessAge.start - years,
      eightStart: eightLessAge.start,
      eight: eightLessAge.start - years,
      fromYears: measured.fromYears,
      toYears: measured.toYears,
      mean: measured.meanDegrees,
    }),
  ]
}
