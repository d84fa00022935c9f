import type { AssessedChild } from '../assessed-child.ts'
import type { CivilDate } from '../calendar.ts'
import { daysBetween } from '../calendar.ts'
import type { Sign } from '../child.ts'
import type { Recorded } from '../facts.ts'
import { type Message, say } from '../messages/message.ts'
import type { Milestones } from '../development/milestones.ts'
import type { Truth } from '../truth.ts'
import { truthOf } from '../truth.ts'
import { DAYS_PER_MONTH } from '../units.ts'

export interface PosturalSign {
  readonly sign: Sign
  /** The answer that is a sign: most when seen, heel contact when it was looked for and not seen. */
  readonly counts: boolean
  /** Whether it counts as a postural sign today. */
  readonly holds: Truth
  readonly recorded: Recorded<boolean>
  /** The term for what is seen when the sign is there. */
  readonly words: Message
  /** Set when the sign turns on how long the child has walked, and that is not known. */
  readonly needsWalkingOnset: boolean
}

const PLAIN = [
  'habitual-w-sitting',
  'rises-onto-toes-for-stability',
  'forward-lean-with-knees-rolling-in',
] as const

/** The answer that is a sign: a guarded gait seen, heel contact looked for and not seen. */
const OF_GAIT = [
  { sign: 'wide-guarded-gait', counts: true, words: say('sign.wide-guarded-gait') },
  { sign: 'heel-contact-seen', counts: false, words: say('sign-missing.heel-contact-seen') },
] as const

type Asked = Pick<AssessedChild, 'child' | 'asOf' | 'milestones'>

/**
 * Which of the five postural signs does the child show?
 *
 * The two of gait count only when they were seen more than `afterMonths` months after walking onset:
 * both are ordinary in a new walker. They are `no` while the child does not walk or has not walked
 * that long, and `unknown` when the onset is not known well enough or the look is older than that.
 */
export function posturalSigns(asked: Asked, afterMonths: number): readonly PosturalSign[] {
  const { signs } = asked.child
  const plain = PLAIN.map((sign) => {
    const recorded = signs[sign]
    return {
      sign,
      counts: true,
      words: say(`sign.${sign}`),
      holds: truthOf(recorded),
      recorded,
      needsWalkingOnset: false,
    }
  })
  const gait = OF_GAIT.map((sign) => gaitSign(sign, asked, afterMonths))
  return [...plain, ...gait]
}

function gaitSign(
  { sign, counts, words }: (typeof OF_GAIT)[number],
  { child, asOf, milestones }: Asked,
  afterMonths: number,
): PosturalSign {
  const recorded = child.signs[sign]
  const seen = (holds: Truth, needsWalkingOnset = false) =>
    ({ sign, counts, words, holds, recorded, needsWalkingOnset }) as const
  const today = walkedLongerThan(afterMonths, milestones, asOf)
  if (today === 'no') return seen('no')
  if (recorded === 'unknown') return seen('unknown', today === 'unknown')
  if (recorded.value !== counts) return seen('no')
  const then = walkedLongerThan(afterMonths, milestones, recorded.on)
  return then === 'yes' ? seen('yes') : seen('unknown', then === 'unknown')
}

/** Had the child, on this day, walked alone for longer? Onset lies between two days, or is unknown. */
function walkedLongerThan(limit: number, milestones: Milestones, day: CivilDate): Truth {
  const { walksAlone, walkingOnset: onset } = milestones
  if (walksAlone.holds === 'no') return 'no'
  if (onset === undefined) return 'unknown'
  // A look long before the child walked lies further back than any age reaches: plain numbers.
  const walkedFor = (since: CivilDate) => daysBetween(since, day) / DAYS_PER_MONTH
  if (walkedFor(onset.notAfter) > limit) return 'yes'
  if (onset.notBefore === undefined) return 'unknown'
  return walkedFor(onset.notBefore) <= limit ? 'no' : 'unknown'
}

/** Are at least so many of them true? */
export function atLeast(count: number, values: readonly Truth[]): Truth {
  const certain = values.filter((value) => value === 'yes').length
  const possible = values.filter((value) => value !== 'no').length
  if (certain >= count) return 'yes'
  return possible < count ? 'no' : 'unknown'
}
