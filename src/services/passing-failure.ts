import { AppError } from '../errors.ts'
import { DatabaseFailure } from '../storage/database-failure.ts'

/** SQLSTATE query_canceled: a statement took longer than it may. */
const STATEMENT_TIMEOUT = '57014'
/**
 * What passes by itself: connection exceptions, insufficient resources (a full disk, too many connections), the
 * server stops or starts, errors of its system, a lock that was not had in time, a transaction that idled, and an
 * order that four attempts did not find.
 */
const PASSING = /^(?:08|53|57P|58|55P03|25P03|25P04|40001|40P01)/
/** Codes of the operating system, for instance ECONNREFUSED. */
const SYSTEM = /^E[A-Z]/

/** What a caller can do about a failure of the database: try again later. Undefined when that would not help. */
export function passingFailure(thrown: unknown): AppError | undefined {
  if (!(thrown instanceof DatabaseFailure)) return undefined
  const { code } = thrown
  if (code === STATEMENT_TIMEOUT)
    return new AppError('timed-out', 'This took too long and was given up. Nothing was stored.')
  // The driver gives no code when it waited for a connection or an answer in vain.
  if (code === undefined || PASSING.test(code) || SYSTEM.test(code))
    return new AppError('unavailable', 'The service cannot answer now. Try again in a while.')
  return undefined
}
