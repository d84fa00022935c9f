import { type Foot, type Side, SIDES } from '../domain/child.ts'
import { valueOf } from '../domain/facts.ts'
import type { FpiSum, PlanePosture } from '../domain/foot/posture.ts'
import { type Message, say, together } from '../domain/messages/message.ts'
import type { RuleSet } from '../domain/rules/rule-set.ts'
import { FPI6_CHILDREN_2019 } from '../domain/tables/foot-posture-index.ts'
import { HEEL_RULES } from '../domain/tables/heel-rules.ts'
import { type Months, yearsOf } from '../domain/units.ts'
import { type Measured, measuredOf } from './measured.ts'
import type { PictureFacts } from './picture-facts.ts'

/** How each foot stands in the three planes, and against what is known of feet of the age. */
export interface PosturePicture {
  readonly feet: readonly StandingFoot[]
  /** Of the sum of the Foot Posture Index of children; absent at an age for which none is published. */
  readonly norm?: { readonly mean: number; readonly low: number; readonly high: number }
  /** Opinions on the heel at this age, degrees; absent beyond the ages they are about. */
  readonly heelForAge?: { readonly low: number; readonly high: number }
  readonly sentences: readonly Message[]
}

export interface StandingFoot {
  readonly side: Side
  readonly planes: readonly StandingPlane[]
  /** Only the bounds where an item was not judged. */
  readonly index?: Pick<FpiSum, 'sum' | 'low' | 'high' | 'band'>
  /** Degrees, everted positive. */
  readonly heel?: number
}

export interface StandingPlane extends Pick<PlanePosture, 'plane' | 'marked' | 'finding'> {
  /** What decided; absent where nothing did. */
  readonly measured?: Measured
}

/** Two standard deviations either side hold 95 of 100. */
const NORM_SDS = 2

export function posturePicture({ triage, rules }: PictureFacts): PosturePicture {
  const { ages, child, posture } = triage
  const years = yearsOf(ages.months)
  const { fromYears, toYears, mean, sd } = FPI6_CHILDREN_2019
  const { sevenLessAge, eightLessAge } = HEEL_RULES
  const heelForAge = { low: sevenLessAge.start - years, high: eightLessAge.start - years }
  const spread = NORM_SDS * sd
  return {
    feet: SIDES.map((side): StandingFoot => {
      const { planes, fpi } = posture[side]
      const foot = child.feet[side]
      const heel = valueOf(foot.heelEversion)
      return {
        side,
        planes: planes.map((plane) => standingPlane(plane, foot, ages.months, rules.posture)),
        ...(fpi !== undefined && { index: fpi }),
        ...(heel !== undefined && { heel }),
      }
    }),
    ...(years >= fromYears &&
      years <= toYears && { norm: { mean, low: mean - spread, high: mean + spread } }),
    ...(years >= 0 && heelForAge.low >= 0 && { heelForAge }),
    sentences: sentencesOf(triage.posture, { fromYears, toYears }),
  }
}

function sentencesOf(
  posture: PictureFacts['triage']['posture'],
  years: { readonly fromYears: number; readonly toYears: number },
): Message[] {
  const { sideDifference } = posture
  return [
    ...SIDES.flatMap((side) => {
      const { fpi, excessivePronation } = posture[side]
      const note = fpi?.note ?? say('posture-picture.no-index', years)
      return [together([excessivePronation.because, note])]
    }),
    ...(sideDifference === undefined ? [] : [sideDifference.note]),
  ]
}

function standingPlane(
  { plane, marked, finding, measure }: PlanePosture,
  foot: Foot,
  age: Months,
  limits: RuleSet['posture'],
): StandingPlane {
  const measured = measure === undefined ? undefined : measuredOf(measure, { foot, age, limits })
  return { plane, marked, finding, ...(measured !== undefined && { measured }) }
}
