import {
  LINKAGE_RATES,
  type LinkageRates,
  MATCH_GRADES,
  NAME_SIMILARITY,
} from '../tables/linkage-weights.ts'
import { nameSimilarity } from './name-similarity.ts'
import type { BirthDate, Traits } from './traits.ts'

export type MatchGrade = 'certain' | 'probable' | 'possible' | 'certainly-not'

export interface OneChild {
  /** The probability that both records are of one child, 0 to 1. */
  readonly score: number
  readonly grade: MatchGrade
}

/**
 * Are two records of one and the same child? The weights of the traits that both records have are added to
 * the odds before anything is compared (Fellegi and Sunter 1969); a trait that one of them lacks counts
 * neither way. A shared identifier decides, unless the date of birth, the order of birth or the given name
 * speaks against it.
 *
 * Twins share all but the given name: without a given name that agrees nothing is more than possible, and
 * certain is what agrees in the whole date of birth and letter by letter in the given name.
 *
 * Source: LINKAGE_RATES, NAME_SIMILARITY, MATCH_GRADES
 */
export function oneChild(one: Traits, other: Traits): OneChild {
  const given = nameSimilarity(one.given, other.given)
  const compared = Math.min(probability(one, other, given), ceiling(one, other, given))
  const score = Math.max(compared, sharedIdentifier(one, other, given))
  return { score, grade: gradeOf(score) }
}

function gradeOf(score: number): MatchGrade {
  if (score >= MATCH_GRADES.certainFrom.value) return 'certain'
  if (score >= MATCH_GRADES.probableFrom.value) return 'probable'
  return score >= MATCH_GRADES.possibleFrom.value ? 'possible' : 'certainly-not'
}

type Similarity = number | 'unknown'

function probability(one: Traits, other: Traits, given: Similarity): number {
  const { prior } = MATCH_GRADES
  const bits =
    Math.log2(prior.value / (1 - prior.value)) +
    nameWeight(LINKAGE_RATES.given, given) +
    household(one, other) +
    valueWeight(LINKAGE_RATES.sex, one.sex, other.sex) +
    valueWeight(LINKAGE_RATES.yearOfBirth, one.birthDate?.year, other.birthDate?.year) +
    valueWeight(LINKAGE_RATES.monthOfBirth, one.birthDate?.month, other.birthDate?.month) +
    valueWeight(LINKAGE_RATES.dayOfBirth, one.birthDate?.day, other.birthDate?.day)
  return 1 / (1 + 2 ** -bits)
}

/** Those who live together share name, address and telephone: of what agrees the strongest alone counts. */
function household(one: Traits, other: Traits): number {
  const weights = [
    nameWeight(LINKAGE_RATES.family, nameSimilarity(one.family, other.family)),
    listWeight(LINKAGE_RATES.postalCode, one.postalCodes, other.postalCodes),
    listWeight(LINKAGE_RATES.telecom, one.telecoms, other.telecoms),
  ]
  const against = weights.filter((weight) => weight < 0)
  return Math.max(0, ...weights) + against.reduce((sum, weight) => sum + weight, 0)
}

const agreement = ({ agree }: LinkageRates): number => Math.log2(agree.m / agree.u)
const disagreement = ({ disagree }: LinkageRates): number => Math.log2(disagree.m / disagree.u)

function nameWeight(rates: LinkageRates, similarity: Similarity): number {
  if (similarity === 'unknown') return 0
  const least = NAME_SIMILARITY.disagreeUpTo.value
  const part = Math.max(0, similarity - least) / (1 - least)
  return disagreement(rates) + part * (agreement(rates) - disagreement(rates))
}

function valueWeight<T>(rates: LinkageRates, one: T | undefined, other: T | undefined): number {
  if (one === undefined || other === undefined) return 0
  return one === other ? agreement(rates) : disagreement(rates)
}

function listWeight(
  rates: LinkageRates,
  some: readonly string[],
  others: readonly string[],
): number {
  if (some.length === 0 || others.length === 0) return 0
  return some.some((one) => others.includes(one)) ? agreement(rates) : disagreement(rates)
}

/** The most that can be said, however much else agrees. */
function ceiling(one: Traits, other: Traits, given: Similarity): number {
  const { possibleUpTo, probableUpTo } = MATCH_GRADES
  const isSimilar = given !== 'unknown' && given >= NAME_SIMILARITY.similarFrom.value
  if (!isSimilar || differ(one.birthOrder, other.birthOrder)) return possibleUpTo.value
  const isSameDay =
    one.birthDate?.day !== undefined &&
    other.birthDate?.day !== undefined &&
    !birthDatesDiffer(one.birthDate, other.birthDate)
  return isSameDay && given === 1 ? 1 : probableUpTo.value
}

/** The least that can be said where both carry one identifier of the same system; else nothing, 0. */
function sharedIdentifier(one: Traits, other: Traits, given: Similarity): number {
  const { possibleUpTo, probableUpTo } = MATCH_GRADES
  const isShared = one.identifiers.some(({ system, value }) =>
    other.identifiers.some((its) => its.system === system && its.value === value),
  )
  if (!isShared) return 0
  if (differ(one.birthOrder, other.birthOrder) || birthDatesDiffer(one.birthDate, other.birthDate))
    return possibleUpTo.value
  const isOtherName = given !== 'unknown' && given <= NAME_SIMILARITY.disagreeUpTo.value
  return isOtherName ? probableUpTo.value : 1
}

const differ = (one: number | undefined, other: number | undefined): boolean =>
  one !== undefined && other !== undefined && one !== other

/** In a part that both know. */
const birthDatesDiffer = (one: BirthDate | undefined, other: BirthDate | undefined): boolean =>
  differ(one?.year, other?.year) || differ(one?.month, other?.month) || differ(one?.day, other?.day)
