import { AppError } from '../errors.ts'
import type { Context } from './context.ts'
import { publishedResource } from './published.ts'
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

/** What the service publishes about itself comes with it: nobody changes or deletes it, here or in a Bundle. */
export function refusePublished(
  context: Context,
  { type, id }: { readonly type: string; readonly id: string },
  at: string,
): void {
  if (publishedResource(context, { type, id }) === undefined) return
  throw new AppError('method-not-allowed', 'What the service publishes is not changed.', [
    {
      severity: 'error',
      code: 'business-rule',
      expression: at,
      rule: 'published',
      text: `${type}/${id} is published by the service itself and stays as it is. POST a ${type} of your own.`,
    },
  ])
}
