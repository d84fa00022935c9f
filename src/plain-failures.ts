import { AppError } from './errors.ts'
import { DatabaseFailure } from './storage/database-failure.ts'

const isOfArguments = (error: Error): boolean =>
  'code' in error && typeof error.code === 'string' && error.code.startsWith('ERR_PARSE_ARGS')

/** Whoever started the program can mend it: what is thrown says what is wrong. Anything else is a bug. */
const isExplained = (error: Error): boolean =>
  error instanceof AppError ||
  error instanceof DatabaseFailure ||
  isOfArguments(error) ||
  // Of the system: no such file, no server at this address.
  'syscall' in error ||
  Object.getPrototypeOf(error) === Error.prototype

function sayPlainly(error: Error): never {
  const more = error instanceof AppError ? error.faults.map(({ text }) => text) : []
  const text = isExplained(error)
    ? [error.message, ...more].join('\n')
    : (error.stack ?? String(error))
  process.stderr.write(`${text}\n`)
  process.exit(1)
}

/**
 * From here on a program ends with a sentence where it can say one, instead of a stack trace.
 *
 * @returns ends that, once the program has begun its work
 */
export function explainFailures(): () => void {
  process.on('uncaughtException', sayPlainly)
  return () => process.off('uncaughtException', sayPlainly)
}
