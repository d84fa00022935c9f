import type { Ages } from './age.ts'
import type { Child } from '../child.ts'
import { evidenceOf } from '../facts.ts'
import { type Message, say, type Said } from '../messages/message.ts'
import type { AssessmentRules } from '../assessed-child.ts'
import { type Finding, type Truth, truth } from '../truth.ts'
import { monthsOfDays } from '../units.ts'

const DAYS_PER_WEEK = 7
/** Of the published rule of thumb, a check value only: four weeks count as a month. */
const WEEKS_PER_THUMB_MONTH = 4

/** How long the pregnancy lasted, days, and how many days the age is corrected by: 0 when born at term. */
export interface Gestation {
  readonly days: number
  readonly correction: number
}

/** What was worked out of the age on one day. */
export interface AgeReckoning {
  readonly chronologicalDays: number
  readonly gestation: Gestation | 'unknown'
  readonly corrected: boolean
}

/**
 * Was the child born before term, and which age is used for that reason? `born-preterm` and
 * `age-corrected`, in this order.
 *
 * Unknown gestation: born preterm is unknown, and the age is not corrected.
 *
 * @see SOURCES aap-preterm-age-2004
 */
export function ageFindings(
  child: Child,
  reckoning: AgeReckoning,
  rules: AssessmentRules,
): readonly Finding[] {
  return [bornPreterm(child, reckoning, rules), ageCorrected(child, reckoning, rules)]
}

/**
 * Corrected age by the published rule of thumb: a month less for every four weeks of completed
 * gestation missing. From memory and a check value only; it is up to a quarter of a month off.
 */
export function ruleOfThumbMonths(
  completedMonths: number,
  gestationDays: number,
  rules: AssessmentRules,
) {
  const term = rules.age.fullTermDays / DAYS_PER_WEEK
  return (
    completedMonths - (term - Math.floor(gestationDays / DAYS_PER_WEEK)) / WEEKS_PER_THUMB_MONTH
  )
}

/**
 * How old is the child, counted from birth and counted from the due date, one sentence each? Which of
 * the two is used is said by the finding `age-corrected`.
 */
export const ageSentences = (
  ages: Ages,
): { readonly chronological: Message; readonly corrected: Message } => ({
  chronological: say('age.chronological', {
    months: ages.chronologicalMonths,
    completed: ages.completedMonths,
  }),
  corrected: correctedSentence(ages),
})

function correctedSentence(ages: Ages): Message {
  const { chronologicalDays, correctedDays, correctedMonths: months } = ages
  if (correctedDays === undefined || months === undefined) return say('age.corrected-unknown')
  if (correctedDays === chronologicalDays) return say('age.corrected-at-term')
  return correctedDays < 0
    ? say('age.corrected-before-due', { months })
    : say('age.corrected', { months, completed: ages.correctedCompletedMonths ?? 0 })
}

function bornPreterm(child: Child, { gestation }: AgeReckoning, rules: AssessmentRules): Finding {
  const found = (holds: Truth, because: Message): Finding => ({
    rule: 'born-preterm',
    holds,
    because,
    sources: ['aap-preterm-age-2004', 'judgement'],
    evidence: evidenceOf(child.gestationDays),
  })
  if (gestation === 'unknown') return found('unknown', say('born-preterm.unknown'))
  const values = { born: inWeeks(gestation.days), term: inWeeks(rules.age.termFromDays) }
  return gestation.correction > 0
    ? found('yes', say('born-preterm.yes', values))
    : found('no', say('born-preterm.no', values))
}

function ageCorrected(child: Child, reckoning: AgeReckoning, rules: AssessmentRules): Finding {
  const { corrected } = reckoning
  return {
    rule: 'age-corrected',
    holds: truth(corrected),
    because: whyCorrected(reckoning, rules),
    sources: ['aap-preterm-age-2004', 'judgement', ...(corrected ? (['memory'] as const) : [])],
    evidence: evidenceOf(child.gestationDays),
  }
}

function whyCorrected(reckoning: AgeReckoning, rules: AssessmentRules): Message {
  const { chronologicalDays, gestation } = reckoning
  const chronological = monthsOfDays(chronologicalDays)
  if (gestation === 'unknown') return say('age-corrected.unknown-gestation', { chronological })
  if (gestation.correction === 0) return say('age-corrected.at-term', { chronological })
  const values = {
    chronological,
    corrected: monthsOfDays(chronologicalDays - gestation.correction),
    limit: rules.age.correctUntilMonths,
  }
  if (!reckoning.corrected) return say('age-corrected.outgrown', values)
  const thumb = ruleOfThumbMonths(chronological, gestation.days, rules)
  return say('age-corrected.yes', { ...values, thumb })
}

const inWeeks = (days: number): Said =>
  say('part.gestation', { weeks: Math.floor(days / DAYS_PER_WEEK), days: days % DAYS_PER_WEEK })
