import { addDays, addMonths, type CivilDate } from '../calendar.ts'
import { evidenceOfAll } from '../evidence.ts'
import type { Recorded } from '../facts.ts'
import {
  type DeadlineSettings,
  dated,
  deadline,
  type LawDate,
  type Told,
  undated,
} from './law-date.ts'
import { say } from '../messages/message.ts'
import { IDEA_PART_C } from '../tables/idea-part-c.ts'
import { RECORD_KEEPING } from '../tables/record-keeping.ts'

const MONTHS_PER_YEAR = 12

/**
 * By when must a parent who asked be able to inspect the early intervention record? Ten calendar days
 * after the request. Unknown without its day.
 *
 * @see SOURCES idea-303-409, idea-303-9
 */
export function inspectionDue(
  requestedOn: Recorded<CivilDate>,
  settings: DeadlineSettings,
): LawDate {
  const { days, section } = IDEA_PART_C.inspection
  const told: Told = {
    rule: 'records.inspection-due',
    sources: ['idea-303-409', 'idea-303-9'],
    evidence: evidenceOfAll([requestedOn]),
  }
  if (requestedOn === 'unknown')
    return undated(told, 'unknown', say('records.inspection-due.unknown'))
  const words = say('records.inspection-due.yes', { days, section })
  return deadline(told, addDays(requestedOn.value, days), words, settings)
}

/**
 * The first day on which an accounting of disclosures looks back, six years before the request. It counts.
 *
 * @see SOURCES hipaa-164-528
 */
export const accountingFrom = (requestOn: CivilDate): CivilDate =>
  addYears(requestOn, -RECORD_KEEPING.accounting.years)

/**
 * The days of encounters that count for an order of an item on the list: within six calendar months
 * before the order, both ends included.
 *
 * @see SOURCES medicare-410-38
 */
export function encountersForOrder(
  orderedOn: CivilDate,
  encounters: readonly CivilDate[],
): { readonly from: CivilDate; readonly valid: readonly CivilDate[] } {
  const from = addMonths(orderedOn, -RECORD_KEEPING.faceToFace.months)
  return { from, valid: encounters.filter((on) => on >= from && on <= orderedOn) }
}

export interface Documentation {
  readonly createdOn: Recorded<CivilDate>
  /** The last day on which it was in effect. */
  readonly lastInEffectOn: Recorded<CivilDate>
}

/**
 * Until when is required documentation kept? Six years from its creation or from when it was last in
 * effect, whichever is later. Unknown while either is: the later one cannot be told.
 *
 * @see SOURCES hipaa-164-316
 */
export function keepDocumentation(
  { createdOn, lastInEffectOn }: Documentation,
  settings: DeadlineSettings,
): LawDate {
  const { years, section } = RECORD_KEEPING.documentation
  const told: Told = {
    rule: 'records.keep-documentation',
    sources: ['hipaa-164-316'],
    evidence: evidenceOfAll([createdOn, lastInEffectOn]),
  }
  if (createdOn === 'unknown' || lastInEffectOn === 'unknown')
    return undated(told, 'unknown', say('records.keep-documentation.unknown', { years, section }))
  const later = createdOn.value > lastInEffectOn.value ? createdOn.value : lastInEffectOn.value
  const words = say('records.keep-documentation.yes', { years, section })
  return dated(told, addYears(later, years), words, settings)
}

/**
 * Until when is the proof of a delivery kept? Seven years from the date of service, the day of delivery.
 *
 * @see SOURCES medicare-424-57
 */
export function keepProofOfDelivery(
  servedOn: Recorded<CivilDate>,
  settings: DeadlineSettings,
): LawDate {
  const { years, section } = RECORD_KEEPING.proofOfDelivery
  const told: Told = {
    rule: 'records.keep-proof-of-delivery',
    sources: ['medicare-424-57'],
    evidence: evidenceOfAll([servedOn]),
  }
  if (servedOn === 'unknown')
    return undated(told, 'unknown', say('records.keep-proof-of-delivery.unknown'))
  const words = say('records.keep-proof-of-delivery.yes', { years, section })
  return dated(told, addYears(servedOn.value, years), words, settings)
}

/** 29 February becomes 28 February in a common year. */
const addYears = (date: CivilDate, years: number): CivilDate =>
  addMonths(date, years * MONTHS_PER_YEAR)
