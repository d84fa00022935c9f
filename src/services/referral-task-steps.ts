import { isDeepStrictEqual } from 'node:util'
import type { ReferralState } from '../domain/referral/referral-states.ts'
import type { Task } from '../fhir/r4/types.ts'
import {
  contradiction,
  decidedElsewhere,
  stopsBeingReferral,
  unknownState,
  workflowFault,
} from '../fhir/referral-faults.ts'
import {
  contradicts,
  isReferralTask,
  isSaid,
  stateBefore,
  stateOfTask,
  withState,
} from '../fhir/referral-task.ts'
import { closed, isOpening, isReply, replyCount } from '../fhir/reply-outputs.ts'
import { openAborts, settleAborts } from './referral-aborts.ts'
import type { Content } from './new-contents.ts'
import {
  after,
  before,
  fits,
  isAllowed,
  isNewReason,
  placeNamed,
  placeOf,
  type ReferralWork,
  rolesOf,
  stateKept,
  takeRequestAlong,
  tasksOf,
} from './referral-work.ts'

/** A referral's Task that is written: is the step one of the table, and what goes along with it? */
export function taskStep(work: ReferralWork, content: Content): void {
  const { resource, operation } = content
  const at = operation.resourceAt
  const stood = before(content)
  const was = isReferralTask(stood) ? stood : undefined
  if (resource === undefined) {
    if (was !== undefined) refuseDeletion(work, content, stateKept(was))
    return
  }
  if (!isReferralTask(resource)) {
    work.faults.push(stopsBeingReferral(at))
    return
  }
  const to = stateOfTask(resource)
  if (to === undefined) {
    work.faults.push(unknownState(at, resource.status))
    return
  }
  if (was === undefined) newTask(work, content, { task: resource, state: to })
  else step(work, content, { was, task: resource, to })
}

/** What is under way is brought to an end, not out of sight. */
function refuseDeletion(work: ReferralWork, { operation }: Content, state: ReferralState) {
  if (state === 'drafted' || state === 'entered-in-error') return
  const text = `A referral that is ${state} is not deleted: cancel it, or mark it as entered in error first.`
  work.faults.push(workflowFault(operation.at, 'referral-deletion', text))
}

interface Standing {
  readonly task: Task
  readonly state: ReferralState
}

function newTask(work: ReferralWork, content: Content, { task, state }: Standing): void {
  const at = content.operation.resourceAt
  if (state !== 'drafted' && state !== 'sent') {
    const text = 'The Task of a new referral is requested, or draft until it is sent.'
    work.faults.push(workflowFault(`${at}.status`, 'task-status', text))
    return
  }
  const place = placeNamed(work, task.focus?.reference)
  const request = after(work, place)
  if (request?.resourceType === 'ServiceRequest') {
    if (tasksOf(work, place).length > 1)
      work.faults.push(
        workflowFault(
          `${at}.focus`,
          'referral-task-repeated',
          'This ServiceRequest has a Task already. What has ended is sent anew as another referral.',
        ),
      )
    if (!fits(request, state))
      work.faults.push(
        workflowFault(
          `${at}.status`,
          'referral-together',
          `The ServiceRequest is ${request.status}; its Task would be ${state}.`,
        ),
      )
  }
  if (work.partnerId !== undefined && replyCount(task) > 0)
    work.faults.push(decidedElsewhere(`${at}.output`))
  work.next.set(placeOf(content), withState(withOpenings(undefined, task), state))
}

interface TaskChange {
  readonly was: Task
  readonly task: Task
  readonly to: ReferralState
}

function step(work: ReferralWork, content: Content, { was, task: sent, to: asked }: TaskChange) {
  const at = content.operation.resourceAt
  const from = stateKept(was)
  const task = work.partnerId === undefined ? withOpenings(was, sent) : sent
  // Of what is completed a business status that is left out says nothing new.
  const isStill = from === 'loop-closed' && asked === 'completed' && !isSaid(sent.businessStatus)
  const to = isStill ? from : asked
  const by = rolesOf(work, content.current?.partnerId)
  if (contradicts(task) && !isDeepStrictEqual(was.businessStatus, task.businessStatus))
    work.faults.push(contradiction(at, task.status))
  if (work.partnerId !== undefined && from !== 'drafted') refuseDecided(work, at, { was, task })
  const aborts = from === 'cancellation-requested' ? openAborts(work, placeOf(content)) : []
  const [given] = aborts.flatMap(([, abort]) => reasonOfAbort(abort))
  const hasOwn = from === to ? isSaid(task.statusReason) : isNewReason(was, task)
  const hasReason = hasOwn || (to === 'cancelled' && given !== undefined)
  const replies = replyCount(task)
  if (!isAllowed(work, { at, from, to, by, hasReason, replies })) return
  const reason = hasOwn || given === undefined || to !== 'cancelled' ? {} : { statusReason: given }
  const waited = [from, ...aborts.map(([, abort]) => stateBefore(abort))].includes('on-hold')
  const told = waited && to !== 'on-hold' && from !== to && !hasOwn ? withoutReason(task) : task
  const next = closed(withState({ ...told, ...reason }, to))
  work.next.set(placeOf(content), next)
  takeRequestAlong(work, { task: next, state: to, at })
  if (from !== to) settleAborts(work, aborts, { to, by })
}

/**
 * When a reply was opened only the exchange says, whatever the clinic sends; another reply has to be opened too.
 *
 * @param was none of a new Task
 */
function withOpenings(was: Task | undefined, task: Task): Task {
  const kept = was?.output ?? []
  const others = (task.output ?? []).filter((one) => !isOpening(one))
  const told = kept.map(valueOf)
  const isAnother = others.some(
    (one) => isReply(one) && !told.some((value) => isDeepStrictEqual(valueOf(one), value)),
  )
  const output = [...others, ...(isAnother ? [] : kept.filter(isOpening))]
  const { output: _sent, ...rest } = task
  return output.length === 0 ? rest : { ...rest, output }
}

/** What it holds, whatever its type is displayed as. */
const valueOf = ({ type: _type, ...value }: NonNullable<Task['output']>[number]) => value

/** Why something waited is no reason any more once it goes on. */
const withoutReason = ({ statusReason: _past, ...task }: Task): Task => task

const reasonOfAbort = ({ statusReason, reasonCode }: Task) => statusReason ?? reasonCode ?? []

/** What the referrer may not change once it has sent the referral. */
const DECIDED = [
  'output',
  'priority',
  'restriction',
  'owner',
  'executionPeriod',
  'extension',
  'modifierExtension',
  'focus',
  'requester',
  'basedOn',
  'partOf',
  'intent',
] as const

function refuseDecided(
  work: ReferralWork,
  at: string,
  { was, task }: Pick<TaskChange, 'was' | 'task'>,
): void {
  for (const name of DECIDED)
    if (!isDeepStrictEqual(was[name], task[name]))
      work.faults.push(decidedElsewhere(`${at}.${name}`))
}
