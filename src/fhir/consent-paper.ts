import type { CivilDate } from '../domain/calendar.ts'
import type { Resource } from './r4/types.ts'
import { dayOf } from './record-facts.ts'

/** A consent that was given, also one that has ended: its paper is kept. */
export interface ConsentPaper {
  readonly isInForce: boolean
  readonly on?: CivilDate
  /** The last day of its period. */
  readonly until?: CivilDate
}

const GIVEN = ['active', 'inactive']

/** None of what is no Consent, or was never given. */
export function consentPaper(one: Resource): ConsentPaper[] {
  if (one.resourceType !== 'Consent' || !GIVEN.includes(one.status)) return []
  const on = dayOf(one.dateTime)
  const until = dayOf(one.provision?.period?.end)
  return [
    {
      isInForce: one.status === 'active',
      ...(on === undefined ? {} : { on }),
      ...(until === undefined ? {} : { until }),
    },
  ]
}
