import { type CivilDate, daysBetween } from '../calendar.ts'
import { evidenceOfAll } from '../evidence.ts'
import { type Recorded, valueOf } from '../facts.ts'
import type { DeadlineSettings } from './law-date.ts'
import { type Said, say } from '../messages/message.ts'
import { IDEA_PART_C } from '../tables/idea-part-c.ts'
import type { SourceId } from '../tables/sources.ts'
import { thirdBirthdayOf } from './transition.ts'
import type { Finding } from '../truth.ts'

export const LATE_REFERRAL_CLASSES = [
  'standard',
  'standard-compressed',
  'late-45-to-90-pending',
  'late-45-to-90',
  'late-under-45',
  'gap-review',
  'aged-out',
] as const
export type LateReferralClass = (typeof LATE_REFERRAL_CLASSES)[number]

export interface LateReferralFacts {
  readonly birthDate: Recorded<CivilDate>
  readonly referredOn: Recorded<CivilDate>
  readonly determination: Recorded<Determination>
}

/** The day on which eligibility was determined; `not-yet` when somebody looked and it is not. */
export type Determination = 'not-yet' | { readonly on: CivilDate }

/** `yes` with the class; `unknown` with every class that what is not known still allows. */
export interface LateReferral extends Finding {
  readonly holds: 'yes' | 'unknown'
  readonly class: LateReferralClass | 'unknown'
  readonly possible: readonly LateReferralClass[]
  /** Days from the event to the third birthday. */
  readonly daysLeftAtReferral?: number
  readonly daysLeftAtDetermination?: number
}

/** Days left before the third birthday, at two events. */
interface Left {
  readonly atReferral: number
  readonly atDetermination: number | 'not-yet'
}

const { determinedLate, referredLate, compressed } = IDEA_PART_C

/**
 * What does the law ask for a child referred shortly before the third birthday?
 *
 * The rule for fewer than 45 days looks at the day of referral, that for 45 to 90 days at the day on
 * which eligibility is determined. Two holes are given to a person (`gap-review`): exactly 45 days left
 * at referral, and a child referred in time but determined with 45 days or fewer left. Between the two
 * rules the protective reading stands: keep the 45-day duty and notify at once.
 *
 * @param asOf the day of the answer: an undated determination lies on or before it, or has not been made
 * @see SOURCES idea-303-209, idea-303-209-preamble, idea-303-21, late-referral-charts
 */
export function lateReferral(
  facts: LateReferralFacts,
  asOf: CivilDate,
  settings: DeadlineSettings,
): LateReferral {
  const birthDate = valueOf(facts.birthDate)
  const referredOn = valueOf(facts.referredOn)
  if (birthDate === undefined) return open(facts, say('part-c-late.no-birth-date'))
  if (referredOn === undefined) return open(facts, say('part-c-late.no-referral'))
  if (referredOn < birthDate || referredOn > asOf)
    return open(facts, say('part-c-late.referral-out-of-time'))
  const birthday = thirdBirthdayOf(birthDate, settings)
  const atReferral = daysBetween(referredOn, birthday)
  const today = daysBetween(asOf, birthday)
  const determination = valueOf(facts.determination)
  if (determination === undefined) return undetermined(facts, { atReferral, today })
  if (determination === 'not-yet')
    return found(facts, { atReferral, atDetermination: determination })
  const atDetermination = daysBetween(determination.on, birthday)
  if (atDetermination > atReferral || atDetermination < today)
    return open(facts, say('part-c-late.determination-out-of-time'))
  return found(facts, { atReferral, atDetermination })
}

/** The law's class when everything is known. The day of determination outranks the day of referral. */
export function classOf({ atReferral, atDetermination }: Left): LateReferralClass {
  if (atReferral <= 0) return 'aged-out'
  if (atReferral < referredLate.fewerThanDays) return 'late-under-45'
  if (atReferral === referredLate.fewerThanDays) return 'gap-review'
  if (atDetermination !== 'not-yet') {
    if (atDetermination <= determinedLate.moreThanDays) return 'gap-review'
    return atDetermination < determinedLate.lessThanDays ? 'late-45-to-90' : 'standard'
  }
  if (atReferral < determinedLate.lessThanDays) return 'late-45-to-90-pending'
  return atReferral <= compressed.upToDays ? 'standard-compressed' : 'standard'
}

/** Days left before the third birthday at referral and on the day of the answer. */
interface Span {
  readonly atReferral: number
  readonly today: number
}

/** Nobody knows whether eligibility was determined: a class only where every answer gives the same. */
function undetermined(facts: LateReferralFacts, { atReferral, today }: Span): LateReferral {
  const possible = classesBetween({ atReferral, today })
  if (possible.length === 1) return found(facts, { atReferral, atDetermination: 'not-yet' })
  const because = say('part-c-late.undetermined', {
    left: atReferral,
    classes: possible.map((one) => say(`late-class.${one}`)),
  })
  return open(facts, because, { possible, daysLeftAtReferral: atReferral })
}

/** Every class that a determination between referral and today, or none yet, would give. */
function classesBetween({ atReferral, today }: Span): readonly LateReferralClass[] {
  const edges = [determinedLate.lessThanDays, determinedLate.moreThanDays]
  const days = [atReferral, ...edges, ...edges.map((edge) => edge + 1), today]
  const within = days.filter((left) => left <= atReferral && left >= today)
  const seen = new Set(
    [...within, 'not-yet' as const].map((atDetermination) =>
      classOf({ atReferral, atDetermination }),
    ),
  )
  return LATE_REFERRAL_CLASSES.filter((one) => seen.has(one))
}

function found(facts: LateReferralFacts, left: Left): LateReferral {
  const { atReferral, atDetermination } = left
  const is = classOf(left)
  return {
    ...told(facts),
    holds: 'yes',
    class: is,
    possible: [is],
    daysLeftAtReferral: atReferral,
    ...(atDetermination !== 'not-yet' && { daysLeftAtDetermination: atDetermination }),
    because: say(`part-c-late.${is}`, { left: atReferral, ...determinationOf(atDetermination) }),
  }
}

/** Before the third birthday or after it, and by how many days; of no day when there was none. */
function determinationOf(left: Left['atDetermination']) {
  if (left === 'not-yet') return { determination: 'none', determined: 0 }
  return { determination: left < 0 ? 'after' : 'before', determined: Math.abs(left) }
}

function open(
  facts: LateReferralFacts,
  because: Said,
  known: Partial<Pick<LateReferral, 'possible' | 'daysLeftAtReferral'>> = {},
): LateReferral {
  const possible = known.possible ?? LATE_REFERRAL_CLASSES
  return { ...told(facts), holds: 'unknown', class: 'unknown', ...known, possible, because }
}

const SOURCES_OF_CLASS = [
  'idea-303-209',
  'idea-303-209-preamble',
  'idea-303-21',
  'late-referral-charts',
  'judgement',
] as const satisfies readonly SourceId[]

const told = ({ birthDate, referredOn, determination }: LateReferralFacts) => ({
  rule: 'part-c.late-referral',
  sources: SOURCES_OF_CLASS,
  evidence: evidenceOfAll([birthDate, referredOn, determination]),
})
