import { isDeepStrictEqual } from 'node:util'
import { BUSINESS_STATUS_CODES, TASK_CODES } from '../fhir/workflow-codes.ts'
import { codeIn, idIn, named, type Task } from './answers.ts'

/** How a Task came to where it stands, as its versions tell. */
export interface TaskCourse {
  /** When the exchange received it, whatever day its sender wrote. */
  readonly receivedAt: string | undefined
  /** When the state began in which it is. */
  readonly since: string | undefined
  /** Why it is in this state; empty where nobody has said it of this state. */
  readonly why: string
}

/**
 * What the versions of a Task tell, the newest first. A reason belongs to its state: one that stood there before
 * the state began is that of another.
 *
 * @param first the version that came in, where the others do not reach back to it
 */
export function courseOf(versions: readonly Task[], first?: Task): TaskCourse {
  const [now] = versions
  if (now === undefined) return { receivedAt: first?.meta?.lastUpdated, since: undefined, why: '' }
  const { own } = atState(versions)
  // What stands there while it is asked to be given up is still the reason of the state before.
  const { before } = atState(versions.filter((one) => isAsked(now) || !isAsked(one)))
  const isStale = before !== undefined && isDeepStrictEqual(before.statusReason, now.statusReason)
  return {
    receivedAt: (first ?? versions.at(-1))?.meta?.lastUpdated,
    since: own.at(-1)?.meta?.lastUpdated,
    why: isStale ? '' : named(now.statusReason),
  }
}

/** The versions of the state of the newest, one after the other, and the one before them. */
function atState(versions: readonly Task[]): {
  readonly own: readonly Task[]
  readonly before: Task | undefined
} {
  const [now] = versions
  const other = versions.findIndex((one) => now !== undefined && stateIn(one) !== stateIn(now))
  return other < 0
    ? { own: versions, before: undefined }
    : { own: versions.slice(0, other), before: versions[other] }
}

const stateIn = ({ status, businessStatus }: Task): string =>
  `${status} ${codeIn(businessStatus) ?? ''}`

const ASKED = BUSINESS_STATUS_CODES['cancellation-requested']
/** Is it asked that this referral be given up? */
export const isAsked = ({ businessStatus }: Task): boolean =>
  codeIn(businessStatus, ASKED.system) === ASKED.code

export type Courses = ReadonlyMap<string, TaskCourse>

/**
 * Who asks that a referral be given up says why in a Task about it, or about its request: that is why it stands where
 * it does.
 *
 * @param courses by the id of the Task
 * @param tasks   all that are at hand
 */
export function withAborts(courses: Courses, tasks: readonly Task[]): Courses {
  const { system, code } = TASK_CODES.abort
  const told = new Map(courses)
  for (const abort of tasks) {
    const focus = abort.focus?.reference
    const id =
      idIn('Task', focus) ??
      tasks.find((one) => isAsked(one) && focus !== undefined && one.focus?.reference === focus)?.id
    const course = told.get(id ?? '')
    if (id === undefined || course === undefined) continue
    if (abort.status !== 'requested' || codeIn(abort.code, system) !== code) continue
    told.set(id, { ...course, why: named(abort.statusReason) || named(abort.reasonCode) })
  }
  return told
}
