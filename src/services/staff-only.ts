import { AppError } from '../errors.ts'
import type { Caller } from '../security/access-token.ts'

/** Refuses a partner what the clinic does itself. */
export function staffOnly({ partnerId }: Caller, message: string, text: string): void {
  if (partnerId === undefined) return
  throw new AppError('scope-missing', message, [
    {
      severity: 'error',
      code: 'forbidden',
      expression: 'http.Authorization',
      rule: 'staff-only',
      text,
    },
  ])
}
