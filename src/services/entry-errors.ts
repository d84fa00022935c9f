import { AppError } from '../errors.ts'
import { isObject } from '../fhir/element.ts'

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

/** Reads what stands in the resource of an entry; its faults name the place there. */
export function withinEntry<T>(at: string, sent: unknown, work: () => T): T {
  try {
    return work()
  } catch (error) {
    throw inResource(at, sent, error)
  }
}

/** The same fault, where the body of a request is the resource of an entry. */
export function inResource(at: string, sent: unknown, error: unknown): unknown {
  if (!(error instanceof AppError)) return error
  const type = isObject(sent) ? sent['resourceType'] : undefined
  const roots = ['Parameters', ...(typeof type === 'string' ? [type] : [])]
  const faults = error.faults.map((fault) => {
    const root = roots.find((one) => fault.expression.split(/[.[]/, 1)[0] === one)
    if (root === undefined) return fault
    return { ...fault, expression: `${at}.resource${fault.expression.slice(root.length)}` }
  })
  return new AppError(error.kind, error.message, faults)
}
