import { AppError } from '../errors.ts'
import { isStableId } from './stable-id.ts'

/** What the service computed is never edited: a new computation makes new resources. */
export function refuseComputed(type: string, id: string, at: string): void {
  if (!isStableId(id)) return
  throw new AppError('method-not-allowed', 'What was computed is not changed.', [
    {
      severity: 'error',
      code: 'business-rule',
      expression: at,
      rule: 'computed',
      text: `This ${type} was computed from the record and stays as it is. Change what it was computed from.`,
    },
  ])
}
