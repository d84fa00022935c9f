import { type CivilDate, civilDate } from '../domain/calendar.ts'
import type { Determination } from '../domain/law/late-referral.ts'
import { codesOf, SYSTEMS } from './codes.ts'
import { misread, read, type Reader } from './reading.ts'

const observation = codesOf(SYSTEMS.observation)

/**
 * Dates of the early intervention programme, as its papers or the family say them. They are sent as
 * observations of their own: neither the day of our referral nor its receipt here starts a clock there.
 */
export const PROGRAMME_CODES = {
  identifiedOn: observation(
    'early-intervention-identified-on',
    'Identified as possibly in need of early intervention on',
  ),
  referredOn: observation(
    'early-intervention-referred-on',
    'Referred to the early intervention programme on',
  ),
  receivedOn: observation(
    'early-intervention-received-on',
    'Referral received by the early intervention programme on',
  ),
  determination: observation(
    'early-intervention-determined-on',
    'Eligibility for early intervention determined on',
  ),
  planOn: observation('early-intervention-plan-on', 'Early intervention plan (IFSP) of'),
  inspectionAskedOn: observation(
    'early-intervention-inspection-asked-on',
    'A parent asked to inspect the early intervention record on',
  ),
} as const

const day: Reader<CivilDate> = ({ valueDateTime: on }) =>
  on !== undefined && /^\d{4}-\d{2}-\d{2}/.test(on)
    ? read(civilDate(on.slice(0, 10)))
    : misread('valueDateTime', 'a date with year, month and day is needed')

/** The day of the determination, or `false` when somebody looked and there is none yet. */
const determination: Reader<Determination> = (one) => {
  if (one.valueBoolean === false) return read('not-yet')
  const on = day(one)
  return on.ok
    ? read({ on: on.value })
    : misread(on.at, `${on.text}, or valueBoolean false when it is not determined yet`)
}

const row = <T>(code: (typeof PROGRAMME_CODES)[keyof typeof PROGRAMME_CODES], of: Reader<T>) => ({
  codes: [code],
  read: of,
})

export const PROGRAMME_READERS = {
  identifiedOn: row(PROGRAMME_CODES.identifiedOn, day),
  referredOn: row(PROGRAMME_CODES.referredOn, day),
  receivedOn: row(PROGRAMME_CODES.receivedOn, day),
  determination: row(PROGRAMME_CODES.determination, determination),
  planOn: row(PROGRAMME_CODES.planOn, day),
  inspectionAskedOn: row(PROGRAMME_CODES.inspectionAskedOn, day),
} as const
