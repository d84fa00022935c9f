import { AppError } from '../errors.ts'
import type { Query } from '../fhir/query.ts'
import type { Filter } from '../fhir/search-filter.ts'
import type { Caller } from '../security/access-token.ts'
import { recordOf } from './call-record.ts'
import type { Context } from './context.ts'

/** For these a record says who looked, and nothing is accounted for by what was found. */
const OWN_PURPOSES: readonly (string | undefined)[] = [undefined, 'TREAT', 'HOPERAT']

/**
 * The one child that staff search the record of; undefined where a search may be about others, or where the log must
 * tell what went out and not what was looked for.
 */
export function childLookedFor(
  { partnerId, call: { facts } }: Caller,
  { searches, cursor }: Query,
): string | undefined {
  const isWhole = facts.interaction === 'search' && facts.query !== ''
  if (!isWhole || partnerId !== undefined || cursor !== undefined) return undefined
  if (!OWN_PURPOSES.includes(facts.purpose)) return undefined
  const [search, ...more] = searches
  if (search === undefined || more.length > 0) return undefined
  return search.filters.map(childOf).find((child) => child !== undefined)
}

/** The one child to whom whatever passes a filter refers. */
function childOf(filter: Filter): string | undefined {
  if (filter.kind === 'any') {
    const [first, ...others] = filter.filters.map(childOf)
    return others.every((one) => one === first) ? first : undefined
  }
  if (filter.kind !== 'reference' || filter.values.length !== 1) return undefined
  const [value] = filter.values
  return value?.kind === 'own' && value.type === 'Patient' ? value.id : undefined
}

/**
 * Does what a call asks while the call is recorded, and waits for both: who looks into the record of one child has
 * looked, whatever is found (a patient is named in the record of a query that is specific to one: IHE BALP, Patient
 * Query). What concerns anybody else is recorded after it, as ever.
 */
export async function recordedBeside<T>(
  { audit }: Context,
  caller: Caller,
  child: string,
  ask: () => Promise<T>,
): Promise<T> {
  const { call, clinicId } = caller
  const before = call.mark()
  call.concern(child)
  const record = recordOf(caller, { outcome: 0, status: 200 })
  call.backTo(before)
  const recorded = audit.recordAtOnce(clinicId, record).catch(refused)
  const [answer] = await Promise.all([ask(), recorded])
  if (call.patients.every((one) => one === child)) {
    call.backTo(before)
    call.wasRecorded()
  }
  return answer
}

function refused(): never {
  throw new AppError('unavailable', 'The call could not be recorded, so it is not answered.')
}
