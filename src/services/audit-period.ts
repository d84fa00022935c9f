import { AppError, type Fault } from '../errors.ts'
import { instantRange } from '../fhir/date-range.ts'
import type { Caller } from '../security/access-token.ts'

/** From the beginning of the one to the end of the other. */
export interface Period {
  readonly start: string
  readonly end: string
}

/**
 * Reads `start` and `end`, dates or instants; without them the last days.
 *
 * @param days how far back, when no start is given
 */
export function periodOf(
  asked: { readonly start?: string | undefined; readonly end?: string | undefined },
  { now, days }: { readonly now: Date; readonly days: number },
): Period {
  const faults: Fault[] = []
  const limit = (name: 'start' | 'end'): string | undefined => {
    const text = asked[name]
    const range = text === undefined ? undefined : instantRange(text)
    if (text !== undefined && range === undefined) faults.push(faultOf(name))
    return name === 'start' ? range?.from : range?.to
  }
  const end = limit('end') ?? new Date(now.getTime() + 1).toISOString()
  const start = limit('start') ?? new Date(Date.parse(end) - days * 86_400_000).toISOString()
  if (faults.length === 0 && Date.parse(start) >= Date.parse(end)) faults.push(faultOf('end'))
  if (faults.length > 0) throw new AppError('invalid-request', 'The period is not one.', faults)
  return isoPeriod({ start, end })
}

const faultOf = (name: string): Fault => ({
  severity: 'error',
  code: 'value',
  expression: `http.${name}`,
  rule: 'audit-period',
  text: 'start and end are dates or instants, YYYY-MM-DD or with time and zone; the end is later.',
})

/** To the millisecond, as the log keeps it. */
export const isoPeriod = ({ start, end }: Period): Period => ({
  start: new Date(start).toISOString(),
  end: new Date(end).toISOString(),
})

/** The log is the clinic's: to others these questions are no more there than what they ask about. */
export function refusePartners({ partnerId }: Caller): void {
  if (partnerId !== undefined) throw new AppError('not-found', 'There is nothing at this address.')
}
