import { AppError } from '../errors.ts'

/**
 * An error of one entry that names the entry: where it says nothing of the place, and where it names a part of
 * a request that was not sent by itself.
 *
 * @param at `Bundle.entry[3]`; any other place is a request of its own, whose errors stay as they are
 */
export function atEntry(at: string, error: unknown): unknown {
  if (!(error instanceof AppError) || !at.startsWith('Bundle.')) return error
  const { kind, message, issue, faults } = error
  if (faults.length === 0)
    return new AppError(kind, message, [
      { severity: 'error', code: issue, expression: at, rule: 'entry', text: message },
    ])
  return new AppError(
    kind,
    message,
    faults.map((fault) =>
      fault.expression.startsWith('http.') ? { ...fault, expression: `${at}.request.url` } : fault,
    ),
  )
}

/** Does what one entry asks for; what is refused names the entry. */
export function forEntry<T>(at: string, work: () => T): T {
  try {
    return work()
  } catch (error) {
    throw atEntry(at, error)
  }
}
