import { AppError } from '../errors.ts'
import { writeJson } from './decimal.ts'
import type { DocumentKind } from './document-codes.ts'
import { toOutcome } from './outcome.ts'
import type { Task } from './r4/types.ts'
import { stateOfTask } from './referral-task.ts'

/** Where a referral has come to its end, or has gone on to it before. */
const ENDED = new Set(['completed', 'loop-closed', 'rejected', 'failed', 'cancelled'])

/**
 * What a sign-off is answered: the document, and what became of the referral where a reply does not complete it.
 *
 * @param body of the DocumentReference, as it is kept
 * @returns Parameters as JSON
 */
export function signedOffAnswer(
  kind: DocumentKind,
  { body, task }: { readonly body: string; readonly task: Task | undefined },
): string {
  const outcome = kind === 'reply' ? stillOpen(task) : undefined
  const parts = [
    `{"name":"return","resource":${body}}`,
    ...(outcome === undefined ? [] : [writeJson({ name: 'outcome', resource: outcome })]),
  ]
  return `{"resourceType":"Parameters","parameter":[${parts.join(',')}]}`
}

function stillOpen(task: Task | undefined): object | undefined {
  const state = task === undefined ? undefined : stateOfTask(task)
  if (state !== undefined && ENDED.has(state)) return undefined
  const text =
    task === undefined
      ? 'The reply is kept, but the referral has no Task: it is an output of none, and nothing is completed.'
      : `The reply is kept and sent, but the referral is not completed: it stands at ${state ?? task.status}. A reply completes a referral whose visit is recorded as done; when it is, sign the reply again.`
  const fault = {
    severity: 'warning' as const,
    code: 'business-rule',
    expression: task === undefined ? '' : 'Task.businessStatus',
    rule: 'reply-completes',
    text,
  }
  return toOutcome(new AppError('business-rule', text, [fault])).outcome
}
