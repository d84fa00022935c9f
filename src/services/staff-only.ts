import { AppError } from '../errors.ts'

/**
 * What the clinic does itself, asked for by a partner.
 *
 * @param texts what staff do, one for each thing that was asked for
 */
export const forStaff = (message: string, ...texts: readonly string[]): AppError =>
  new AppError(
    'scope-missing',
    message,
    texts.map((text) => ({
      severity: 'error',
      code: 'forbidden',
      expression: 'http.Authorization',
      rule: 'staff-only',
      text,
    })),
  )
