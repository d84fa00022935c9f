import { DrizzleQueryError } from 'drizzle-orm'
import { DatabaseError } from 'pg'

/**
 * What the database refused, without a word of what was sent: the driver's own errors quote parameters
 * and rows, hence a child's data.
 */
export class DatabaseFailure extends Error {
  /** SQLSTATE, or the system's code when the connection failed. */
  readonly code: string | undefined
  readonly constraint: string | undefined

  constructor(code: string | undefined, constraint?: string) {
    super(`Database failure ${code ?? 'of the connection'}${constraint ? ` (${constraint})` : ''}`)
    this.name = 'DatabaseFailure'
    this.code = code
    this.constraint = constraint
  }
}

/** The failure behind an error of the driver or of the query builder. */
export function databaseFailure(error: unknown): DatabaseFailure {
  if (error instanceof DatabaseFailure) return error
  if (error instanceof DrizzleQueryError) return databaseFailure(error.cause)
  if (error instanceof DatabaseError) return new DatabaseFailure(error.code, error.constraint)
  return new DatabaseFailure(systemCode(error))
}

/** The same for an error of any origin: what is not the database's stays as it is. */
export function withoutParameters(error: unknown): unknown {
  return error instanceof DrizzleQueryError || error instanceof DatabaseError
    ? databaseFailure(error)
    : error
}

function systemCode(error: unknown): string | undefined {
  if (!(error instanceof Error && 'code' in error)) return undefined
  return typeof error.code === 'string' ? error.code : undefined
}
