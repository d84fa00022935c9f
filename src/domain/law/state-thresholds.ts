import type { CivilDate } from '../calendar.ts'
import type { StandardisedResult } from '../child.ts'
import type { EstimatedDelay } from '../development/estimated-delay.ts'
import { evidenceOfAll, uniqueEvidence } from '../evidence.ts'
import { type Recorded, valueOf } from '../facts.ts'
import { say, together } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { type AgeFacts, agesOfState } from './state-age.ts'
import type { Criterion, StateThreshold, ThresholdVersion } from '../tables/state-threshold.ts'
import { STATE_THRESHOLDS, STATES_NOT_FOUND } from '../tables/state-thresholds.ts'
import {
  chanceOfNumber,
  completed,
  criterionWords,
  type DelayValues,
  printedScore,
  reachesNumber,
  valuesAtAge,
  valuesOfEstimate,
  valuesOfResult,
} from './threshold-criteria.ts'
import { type CriterionAnswer, thresholdWords } from './threshold-answers.ts'
import { anyOf, type Finding, type Truth } from '../truth.ts'
import type { Months } from '../units.ts'

/** What is known of the gross motor delay, one domain of development. */
export interface DelayFacts extends AgeFacts {
  readonly standardised: Recorded<StandardisedResult>
  /** The age equivalent that a test gave. */
  readonly developmentalAge: Recorded<Months>
  readonly estimate: EstimatedDelay | 'unknown'
}

export interface StateThresholdAnswer extends Finding {
  readonly state: string
  readonly criteria: readonly CriterionAnswer[]
  /** Absent for a state without a number on record. */
  readonly read?: Pick<StateThreshold, 'asOf' | 'confirmed' | 'note'>
}

/**
 * Does the gross motor delay reach the number that a state published, on a day?
 *
 * Any number for one domain is enough; those for two domains are told for this domain and decide
 * nothing. A test result as given, or the developmental age it gave, decides; the estimate from
 * milestones only without either, by its point, and its probability is shown beside. Unknown where a
 * scale, the state's age, the numbers in force that day or the state itself is unknown and matters.
 *
 * @param state two-letter code
 * @see STATE_THRESHOLDS; SOURCES idea-303-111, idea-303-321
 */
export function stateThreshold(
  state: string,
  facts: DelayFacts,
  on: CivilDate,
  rules: RuleSet,
): StateThresholdAnswer {
  const row = Object.hasOwn(STATE_THRESHOLDS, state) ? STATE_THRESHOLDS[state] : undefined
  if (row === undefined) return withoutNumber(state)
  const ages = agesOfState(facts, on, row.age, rules)
  const values = valuesOf(facts, ages)
  const versions = row.versions.filter((version) => mayHold(version, on, ages))
  const perVersion = versions.map(({ anyOf }) =>
    anyOf.filter(concernsMotor).map((one) => answerOf(one, values, facts.estimate)),
  )
  const holds = agreed(perVersion.map(overall))
  const criteria = perVersion.flat()
  return {
    rule: 'state-threshold',
    state,
    holds,
    criteria,
    read: { asOf: row.asOf, confirmed: row.confirmed, ...(row.note && { note: row.note }) },
    because: together([thresholdWords(row, criteria), say('state-threshold.other-routes')]),
    sources: [row.source, 'idea-303-111', 'idea-303-321', 'judgement'],
    evidence: uniqueEvidence([
      evidenceOfAll([facts.standardised, facts.developmentalAge]),
      evidenceOfAll([facts.birthDate, facts.gestationDays]),
      facts.estimate === 'unknown' ? [] : facts.estimate.evidence,
    ]),
  }
}

/** One set of values for each age that the state may mean; a result as given needs none. */
function valuesOf(facts: DelayFacts, ages: readonly Months[]): readonly DelayValues[] {
  const result = valueOf(facts.standardised)
  const developmentalAge = valueOf(facts.developmentalAge)
  const given = result === undefined ? [] : [valuesOfResult(result)]
  if (developmentalAge !== undefined && ages.length > 0)
    return ages.map((age) => completed(given[0], valuesAtAge(developmentalAge, age)))
  if (given.length > 0 || developmentalAge !== undefined) return given
  return facts.estimate === 'unknown' ? [] : [valuesOfEstimate(facts.estimate)]
}

/** A version holds perhaps on that day and at one of the ages; age unknown leaves it open. */
const mayHold = (version: ThresholdVersion, on: CivilDate, ages: readonly Months[]): boolean =>
  (version.from === undefined || on >= version.from) &&
  (version.until === undefined || on <= version.until) &&
  (ages.length === 0 || ages.some((age) => isOfAge(version, age)))

const isOfAge = ({ fromMonths, underMonths }: ThresholdVersion, age: Months): boolean =>
  (fromMonths === undefined || age >= fromMonths) &&
  (underMonths === undefined || age < underMonths)

/** A number for expressive communication alone is none for gross motor development. */
const concernsMotor = (criterion: Criterion): boolean =>
  criterion.kind !== 'percent-delay' || criterion.scope === undefined

function answerOf(
  criterion: Criterion,
  values: readonly DelayValues[],
  estimate: DelayFacts['estimate'],
): CriterionAnswer {
  const holds = agreed(values.map((one) => reachesNumber(criterion, one)))
  const probability = estimate === 'unknown' ? undefined : chanceOfNumber(criterion, estimate)
  const printed = printedScore(criterion, values)
  return {
    number: criterionWords(criterion),
    domains: criterion.domains,
    holds,
    ...(probability !== undefined && { probability }),
    ...(printed !== undefined && { printedScore: printed }),
  }
}

/** Any number for one domain; in a version that has none, nothing is reached or missed. */
const overall = (criteria: readonly CriterionAnswer[]): Truth =>
  anyOf(criteria.filter(({ domains }) => domains === 1).map(({ holds }) => holds))

/** What all possibilities say alike; without any, and where they differ, nothing is known. */
function agreed(values: readonly Truth[]): Truth {
  const [first = 'unknown'] = values
  return values.every((value) => value === first) ? first : 'unknown'
}

function withoutNumber(state: string): StateThresholdAnswer {
  const lookedFor = STATES_NOT_FOUND.some((one) => one === state)
  const why = say(lookedFor ? 'state-threshold.not-found' : 'state-threshold.not-on-record')
  return {
    rule: 'state-threshold',
    state,
    holds: 'unknown',
    criteria: [],
    because: together([why, say('state-threshold.other-routes')]),
    sources: ['idea-303-111', 'idea-303-321'],
    evidence: [],
  }
}
