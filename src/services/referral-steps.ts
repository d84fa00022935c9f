import { AppError } from '../errors.ts'
import { isReferral } from '../fhir/profiles.ts'
import type { Resource } from '../fhir/r4/types.ts'
import { isAbortTask, isReferralTask } from '../fhir/referral-task.ts'
import type { Caller } from '../security/access-token.ts'
import { triageOf } from '../storage/child-locks.ts'
import { serialise } from '../storage/idempotency.ts'
import { readOfChild, readResources } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import type { Content } from './new-contents.ts'
import { newVersion } from './new-version.ts'
import { abortStep } from './referral-aborts.ts'
import { type Entry, readEntry } from './referral-record.ts'
import { requestStep } from './referral-request-steps.ts'
import { taskStep } from './referral-task-steps.ts'
import { before, placeOf, type ReferralWork } from './referral-work.ts'
import type { Target } from './targets.ts'

/** What of a request goes the way of referrals. */
export interface ReferralSteps {
  /** What was sent, as it is kept. */
  readonly contents: readonly Content[]
  /** What goes along: the request with its Task, the Task with its request. */
  readonly along: readonly Content[]
}

/**
 * Everything that is written about one referral waits for each other, before what stands is read: so a step
 * is decided on where the referral really stands.
 */
export async function awaitReferrals(
  tx: Tx,
  { clinicId }: Caller,
  targets: readonly Target[],
): Promise<void> {
  const changed = targets.filter(
    ({ does, operation: { type } }) =>
      (type === 'Task' || type === 'ServiceRequest') && does !== 'create' && does !== 'nothing',
  )
  if (changed.length === 0) return
  const keys = changed.map(({ id, operation: { type } }) => ({ type, id }))
  const children = (await readResources(tx, clinicId, keys)).flatMap((one) => one.patientId ?? [])
  await serialise(
    tx,
    [...new Set(children)].map((child) => triageOf(clinicId, child)),
  )
}

/**
 * Is every step of a referral that is about to be written one of the table of states, by whom it says? Throws
 * with every one that is not. Task and ServiceRequest move together, in one transaction.
 */
export async function referralSteps(
  tx: Tx,
  context: Context,
  caller: Caller,
  contents: readonly Content[],
): Promise<ReferralSteps> {
  const concerned = contents.filter((content) =>
    [before(content), content.resource].some(isOfReferral),
  )
  if (concerned.length === 0) return { contents, along: [] }
  const work = await workOn(tx, context, caller, { contents, concerned })
  for (const content of concerned) stepOf(content)(work, content)
  if (work.faults.length > 0)
    throw new AppError('business-rule', 'The referral cannot take this step.', work.faults)
  const next = (content: Content): Content => {
    const resource = work.next.get(placeOf(content))
    return resource === undefined ? content : { ...content, resource }
  }
  return { contents: contents.map(next), along: alongOf(work) }
}

const isOfReferral = (resource: Resource | undefined): boolean =>
  isReferralTask(resource) ||
  isAbortTask(resource) ||
  (resource?.resourceType === 'ServiceRequest' && isReferral(resource))

function stepOf(content: Content): (work: ReferralWork, content: Content) => void {
  if (content.operation.type === 'ServiceRequest') return requestStep
  return [before(content), content.resource].some(isReferralTask) ? taskStep : abortStep
}

async function workOn(
  tx: Tx,
  context: Context,
  { clinicId, partnerId }: Caller,
  {
    contents,
    concerned,
  }: { readonly contents: readonly Content[]; readonly concerned: readonly Content[] },
): Promise<ReferralWork> {
  const { baseUrl } = context
  const now = context.now().toISOString()
  const children = concerned.flatMap(({ current, resource, id }) => {
    if (current?.patientId !== undefined) return [current.patientId]
    if (resource === undefined) return []
    const key = { id, version: 1, partnerId, updatedAt: now, baseUrl }
    return newVersion(resource, key).search.patientId ?? []
  })
  const kept = new Map<string, Entry>()
  for (const child of new Set(children))
    for (const stored of await readOfChild(tx, clinicId, child, ['Task', 'ServiceRequest']))
      kept.set(`${stored.type}/${stored.id}`, readEntry(stored))
  const sent = new Map(contents.map((content) => [placeOf(content), content] as const))
  return { baseUrl, clinicId, partnerId, now, sent, kept, next: new Map(), faults: [] }
}

function alongOf({ next, sent, kept }: ReferralWork): Content[] {
  return [...next].flatMap(([place, resource]): Content[] => {
    const entry = kept.get(place)
    if (sent.has(place) || entry === undefined) return []
    const { type, id } = entry.stored
    const operation = {
      kind: 'update' as const,
      type: resource.resourceType,
      resource,
      fullUrl: undefined,
      meant: { id },
      ifMatch: undefined,
      ifNoneMatch: undefined,
      at: type,
      resourceAt: type,
      conditionAt: type,
      ifMatchAt: type,
    }
    return [{ operation, id, does: 'update', current: entry.stored, resource }]
  })
}
