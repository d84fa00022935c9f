import type { AssessedChild } from '../assessed-child.ts'
import { daysBetween } from '../calendar.ts'
import type { Child } from '../child.ts'
import { evidenceOfAll, uniqueEvidence } from '../evidence.ts'
import type { FootPosture } from '../foot/posture.ts'
import { type Message, say, together } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { FPI6_BANDS } from '../tables/foot-posture-index.ts'
import type { Truth } from '../truth.ts'
import { truthOf } from '../truth.ts'
import type { Contribution } from './urgency.ts'

type Weights = RuleSet['urgency']

/**
 * How far does the worse foot roll in? Points per plane that is marked, and for a Foot Posture Index
 * above the normal band, in a straight line up to the top of the scale.
 *
 * An open plane may be marked or not; an item that was not judged may have any score. The worse foot is
 * found separately for the least and the most that is possible.
 */
export function pronation(
  { posture }: Pick<AssessedChild, 'posture'>,
  weights: Weights,
): Contribution {
  const standing = [posture.left, posture.right]
  const feet = standing.map((foot) => footPoints(foot, weights))
  const low = Math.max(...feet.map((foot) => foot.low))
  return {
    id: 'pronation',
    points: low,
    low,
    high: Math.max(...feet.map((foot) => foot.high)),
    max: weights.pronationPoints,
    because: together([
      ...feet.map(({ because }) => because),
      say('pronation.worse-foot-counts', {
        perPlane: weights.pronationPerPlane,
        from: weights.pronationFpiFrom,
        to: weights.pronationFpiTo,
      }),
    ]),
    sources: ['judgement', 'fpi-redmond-2006'],
    evidence: uniqueEvidence(standing.map(({ excessivePronation }) => excessivePronation.evidence)),
  }
}

function footPoints(
  { side, planes, fpi }: FootPosture,
  weights: Weights,
): { readonly low: number; readonly high: number; readonly because: Message } {
  const marked = planes.filter((plane) => plane.marked === 'yes').length
  const open = planes.filter((plane) => plane.marked === 'unknown').length
  const last = FPI6_BANDS.bands.at(-1)?.to ?? 0
  const points = (planesMarked: number, sum: number) =>
    planesMarked * weights.pronationPerPlane + fpiPoints(sum, weights)
  const cap = (value: number) => Math.min(value, weights.pronationPoints)
  const counted = { side, marked, planes: planes.length, open }
  return {
    low: cap(points(marked, fpi?.low ?? 0)),
    high: cap(points(marked + open, fpi?.high ?? last)),
    because:
      fpi?.sum === undefined
        ? say('pronation.without-sum', counted)
        : say('pronation.with-sum', { ...counted, sum: fpi.sum }),
  }
}

function fpiPoints(sum: number, weights: Weights): number {
  const { pronationFpiFrom: from, pronationFpiTo: to, pronationFpiPoints: all } = weights
  return all * share((sum - from) / (to - from))
}

/**
 * Is the child at an age at which standing and walking are being learnt? All points for a child that
 * bears weight below one age, falling in a straight line to none at another; months, the age in use.
 */
export function ageWindow(
  { ages, milestones }: Pick<AssessedChild, 'ages' | 'milestones'>,
  weights: Weights,
): Contribution {
  const { windowFullUntilMonths: full, windowZeroFromMonths: zero, windowPoints: max } = weights
  const possible = max * share((zero - ages.months) / (zero - full))
  const bears = milestones.bearsWeight
  return {
    id: 'window',
    ...ofSign(bears.holds, possible),
    max,
    because: say(`window.${bears.holds}`, { months: ages.months, full, zero }),
    sources: ['judgement'],
    evidence: bears.evidence,
  }
}

/** Does the child fall beyond practice, rise onto the toes for stability, or refuse to stand? */
export function safety({ signs }: Pick<Child, 'signs'>, weights: Weights): Contribution {
  const parts = [
    { sign: 'falls-beyond-practice', points: weights.safetyFalls },
    { sign: 'rises-onto-toes-for-stability', points: weights.safetyToeRising },
    { sign: 'refuses-to-stand', points: weights.safetyRefusal },
  ] as const
  const found = parts.map(({ sign, points }) => ofSign(truthOf(signs[sign]), points))
  const low = Math.min(weights.safetyPoints, total(found.map((part) => part.low)))
  return {
    id: 'safety',
    points: low,
    low,
    high: Math.min(weights.safetyPoints, total(found.map((part) => part.high))),
    max: weights.safetyPoints,
    because: together(
      ANSWERS.flatMap((holds) => {
        const answered = parts.filter(({ sign }) => truthOf(signs[sign]) === holds)
        const said = answered.map(({ sign }) => say(`sign.${sign}`))
        return said.length === 0 ? [] : [say(`safety.${holds}`, { signs: said })]
      }),
    ),
    sources: ['judgement'],
    evidence: evidenceOfAll(parts.map(({ sign }) => signs[sign])),
  }
}

/** In the order in which they are told. */
const ANSWERS: readonly Truth[] = ['yes', 'no', 'unknown']

/** How long has the referral waited, in days since it was received? Never unknown. */
export function waiting(
  { child, asOf }: Pick<AssessedChild, 'child' | 'asOf'>,
  { waitingPoints: max, waitingFullDays: full }: Weights,
): Contribution {
  const days = daysBetween(child.referral.receivedOn, asOf)
  const points = max * share(days / full)
  return {
    id: 'waiting',
    points,
    low: points,
    high: points,
    max,
    because: days < 0 ? say('waiting.not-yet') : say('waiting.days', { days, full }),
    sources: ['judgement'],
    evidence: [],
  }
}

/** Unknown counts as the least it may be; the range says what it may be. */
function ofSign(holds: Truth, points: number): Pick<Contribution, 'points' | 'low' | 'high'> {
  const low = holds === 'yes' ? points : 0
  return { points: low, low, high: holds === 'no' ? 0 : points }
}

const share = (value: number): number => Math.min(1, Math.max(0, value))
const total = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0)
