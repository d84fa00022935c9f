import type { CivilDate } from '../domain/calendar.ts'
import { evidenceRef, type Fact, type Recorded } from '../domain/facts.ts'
import type { ProgrammeFacts } from '../domain/law/early-intervention.ts'
import { SIGN_CODES } from './observed-codes.ts'
import { PROGRAMME_CODES, PROGRAMME_READERS } from './programme-dates.ts'
import type { Address, Patient } from './r4/types.ts'
import { boolean } from './reading.ts'
import { type RecordEntry, RecordFacts } from './record-facts.ts'

const CONCERN = SIGN_CODES['motor-concern']
/** Codes of the Observations that they are read from. */
export const PROGRAMME_FACT_CODES: readonly string[] = [
  CONCERN,
  ...Object.values(PROGRAMME_CODES),
].map(({ code }) => code)
const CODES = new Set(PROGRAMME_FACT_CODES)

/**
 * What the record says about early intervention.
 *
 * @param asOf what was observed after this day is not seen
 */
export function programmeFacts(
  record: readonly RecordEntry[],
  patient: { readonly reference: string; readonly resource: Patient },
  asOf: CivilDate,
): ProgrammeFacts {
  const about = record.filter(
    ({ resource }) =>
      resource.resourceType === 'Observation' &&
      (resource.code.coding?.some(({ code = '' }) => CODES.has(code)) ?? false),
  )
  const facts = new RecordFacts(about, asOf)
  const { identifiedOn, referredOn, receivedOn, determination, planOn, inspectionAskedOn } =
    PROGRAMME_READERS
  return {
    state: stateOf(patient, asOf),
    identifiedOn: facts.one('identifiedOn', identifiedOn),
    firstConcernOn: firstConcern(facts),
    referredOn: facts.one('referredOn', referredOn),
    receivedOn: facts.one('receivedOn', receivedOn),
    determination: facts.one('determination', determination),
    planOn: facts.one('planOn', planOn),
    inspectionAskedOn: facts.one('inspectionAskedOn', inspectionAskedOn),
  }
}

/** The first day on which somebody recorded a concern about motor development. */
function firstConcern(facts: RecordFacts): Recorded<CivilDate> {
  const first = facts.all({ codes: [CONCERN], read: boolean }).find(({ value }) => value)
  return first === undefined ? 'unknown' : { ...first, value: first.on }
}

/**
 * The state in which the child lives: that of its addresses that hold on the day, as a two-letter code.
 * Unknown when there is none, when they differ, or outside the USA.
 */
function stateOf(
  { reference, resource }: { readonly reference: string; readonly resource: Patient },
  asOf: CivilDate,
): Recorded<string> {
  const states = new Set(
    (resource.address ?? [])
      .filter((address) => isHome(address) && holdsOn(address, asOf) && isInUsa(address))
      .flatMap(({ state }) => (state === undefined ? [] : [state.trim().toUpperCase()])),
  )
  const [state, ...others] = states
  if (state === undefined || others.length > 0 || !/^[A-Z]{2}$/.test(state)) return 'unknown'
  return { value: state, on: asOf, evidence: evidenceRef(reference) } satisfies Fact<string>
}

const isHome = ({ use, type }: Address): boolean =>
  (use === undefined || use === 'home') && type !== 'postal'

const holdsOn = ({ period }: Address, asOf: CivilDate): boolean =>
  (period?.start ?? '').slice(0, 10) <= asOf &&
  (period?.end === undefined || period.end.slice(0, 10) >= asOf.slice(0, period.end.length))

const USA = new Set(['US', 'USA', 'UNITED STATES', 'UNITED STATES OF AMERICA'])

const isInUsa = ({ country }: Address): boolean =>
  country === undefined || USA.has(country.trim().toUpperCase())
