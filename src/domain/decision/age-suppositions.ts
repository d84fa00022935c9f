import type { AssessedChild } from '../assessed-child.ts'
import type { QuestionId } from './decision.ts'
import { say } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { supposedGestation } from './supposed-fact.ts'
import type { Supposition } from './suppositions.ts'
import { months } from '../units.ts'

const DAYS_PER_WEEK = 7

/**
 * What if the age were another, or gestation recorded?
 *
 * A child within the ages of the clinic is not supposed outside them, for nothing on record would do
 * that; one outside is supposed within, by no fact but time. Gestation is supposed only while it is not
 * recorded and the child may have been born early.
 */
export const ageSuppositions = (
  assessed: Pick<AssessedChild, 'ages' | 'ifPreterm'>,
  limits: RuleSet['age'],
): readonly Supposition[] => [ofAge(assessed, limits), ...ofGestation(assessed, limits)]

function ofAge(
  { ages, ifPreterm }: Pick<AssessedChild, 'ages' | 'ifPreterm'>,
  limits: RuleSet['age'],
): Supposition {
  const { serviceFromMonths: from, serviceToMonths: to } = limits
  const within = { ...ages, months: months(Math.min(Math.max(ages.months, from), to)) }
  return {
    rule: 'age-in-range',
    answer: 'yes',
    facts: [],
    words: say('part.if-age', { from, to }),
    bearsOn: ['age-in-range'],
    found: {
      ages: within,
      ...(ifPreterm !== undefined && { ifPreterm: { ...ifPreterm, ages: within } }),
    },
  }
}

/** Some measures of a foot have a limit for some ages only. */
const OF_AGE: readonly QuestionId[] = [
  'age-in-range',
  'functional-concern',
  'excessive-pronation.left',
  'excessive-pronation.right',
]

/** Recorded at term all is as found, recorded early it is as was found for a child born so early. */
function ofGestation(
  { ifPreterm }: Pick<AssessedChild, 'ifPreterm'>,
  { fullTermDays, unknownGestationDays: early }: RuleSet['age'],
): readonly Supposition[] {
  if (ifPreterm === undefined) return []
  const ways = [
    { days: fullTermDays, found: {} },
    { days: early, found: ifPreterm },
  ]
  return (['age-in-range', 'functional-concern'] as const).flatMap((rule) =>
    ways.flatMap(({ days, found }) =>
      (['yes', 'no'] as const).map((answer) => ({
        rule,
        answer,
        facts: [supposedGestation(days)],
        words: say('part.if-gestation', { weeks: days / DAYS_PER_WEEK }),
        bearsOn: OF_AGE,
        found,
      })),
    ),
  )
}
