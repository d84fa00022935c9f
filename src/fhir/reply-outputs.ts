import { isLoopClosed } from '../domain/referral/transition.ts'
import { concept } from './derived.ts'
import { ownTarget } from './literal-reference.ts'
import type { Task } from './r4/types.ts'
import { hasCode } from './reading.ts'
import { stateOfTask, withState } from './referral-task.ts'
import { TASK_DETAIL_CODES } from './workflow-codes.ts'

// The outputs of a referral's Task: the reply, and when the referrer opened it.

type Output = NonNullable<Task['output']>[number]

export const isReply = ({ type }: Output): boolean => hasCode(type, TASK_DETAIL_CODES.reply)
export const isOpening = ({ type }: Output): boolean => hasCode(type, TASK_DETAIL_CODES.replyOpened)

/** How many replies were given to this referral, on paper elsewhere too; what says nothing is none. */
export const replyCount = ({ output = [] }: Task): number =>
  output.filter((one) => isReply(one) && saysSomething(one)).length

/** What a reply may be, beside words and a file. */
const DOCUMENTS = [
  'DocumentReference',
  'Composition',
  'Bundle',
  'Binary',
  'Communication',
  'DiagnosticReport',
]

const saysSomething = ({ valueString, valueReference, valueAttachment }: Output): boolean =>
  (valueString ?? '').trim() !== '' ||
  DOCUMENTS.some((type) => valueReference?.reference?.includes(`${type}/`) === true) ||
  valueReference?.identifier !== undefined ||
  valueAttachment?.url !== undefined ||
  valueAttachment?.data !== undefined

/** Ids of the DocumentReferences that are replies to this referral. */
export const repliesOf = ({ output = [] }: Task, baseUrl: string): readonly string[] =>
  output
    .filter(isReply)
    .flatMap(({ valueReference }) => ownTarget(valueReference?.reference, baseUrl)?.id ?? [])

/** When the referrer opened the reply that is in force, ISO instants. */
export const openedOn = ({ output = [] }: Task): readonly string[] =>
  output.filter(isOpening).flatMap(({ valueDateTime }) => valueDateTime ?? [])

/**
 * The Task with a reply, in the place of one that it supersedes. Nobody has opened it yet, so a loop that was
 * closed is open again.
 *
 * @param replaces the DocumentReference whose place the reply takes
 */
export function withReply(
  task: Task,
  { documentId, replaces }: { readonly documentId: string; readonly replaces: string | undefined },
  baseUrl: string,
): Task {
  const others = (task.output ?? []).filter(
    (one) =>
      !isOpening(one) &&
      (!isReply(one) ||
        replaces === undefined ||
        ownTarget(one.valueReference?.reference, baseUrl)?.id !== replaces),
  )
  const reply = {
    type: concept(TASK_DETAIL_CODES.reply),
    valueReference: { reference: `DocumentReference/${documentId}` },
  }
  const replied = { ...task, output: [...others, reply] }
  return stateOfTask(task) === 'loop-closed' ? withState(replied, 'completed') : replied
}

/** The Task with the instant at which the referrer first opened the reply; the same Task when it is known. */
export function withOpening(task: Task, at: string): Task {
  if (openedOn(task).length > 0) return task
  const opening = { type: concept(TASK_DETAIL_CODES.replyOpened), valueDateTime: at }
  return closed({ ...task, output: [...(task.output ?? []), opening] })
}

/** A referral that is completed has its loop closed when its reply was opened, and not before. */
export function closed(task: Task): Task {
  const state = stateOfTask(task)
  const isClosed = isLoopClosed('completed', openedOn(task))
  if (state === 'completed' && isClosed) return withState(task, 'loop-closed')
  return state === 'loop-closed' && !isClosed ? withState(task, 'completed') : task
}
