import type { Language } from '../domain/messages/catalogues.ts'
import { type DocumentKind, kindOfDocument } from '../fhir/document-codes.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import type { DocumentReference, ServiceRequest, Task } from '../fhir/r4/types.ts'
import { stateOfTask, withState } from '../fhir/referral-task.ts'
import { closed, withReply } from '../fhir/reply-outputs.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import { newVersion } from './new-version.ts'
import type { Entry, ReferralRecord } from './referral-record.ts'
import { isStableId } from './stable-id.ts'

type Issued = Entry<DocumentReference>

/** The signed document of this kind and language that is in force for a referral; the last one. */
export const documentBefore = (
  { entries, referral }: ReferralRecord,
  { kind, language }: { readonly kind: DocumentKind; readonly language: Language },
  baseUrl: string,
): Issued | undefined =>
  entries.findLast(
    (entry): entry is Issued =>
      isStableId(entry.stored.id) &&
      entry.resource.resourceType === 'DocumentReference' &&
      entry.resource.status === 'current' &&
      kindOfDocument(entry.resource.type) === kind &&
      entry.resource.content[0]?.attachment.language === language &&
      (entry.resource.context?.related?.some(({ reference }) => {
        const target = ownTarget(reference, baseUrl)
        return target?.type === 'ServiceRequest' && target.id === referral.stored.id
      }) ??
        false),
  )

interface Changes {
  readonly documentId: string
  readonly before: Issued | undefined
  readonly updatedAt: string
  readonly baseUrl: string
}

/** The document whose place another one takes is marked so; what it says stays. */
export function supersededBy({ before, updatedAt, baseUrl }: Changes): NewVersion[] {
  if (before === undefined) return []
  const { stored, resource } = before
  const { id, version, partnerId } = stored
  const key = { id, version: version + 1, partnerId, updatedAt, baseUrl }
  const next: DocumentReference = { ...resource, status: 'superseded' }
  return [newVersion(next, key)]
}

/**
 * The referral's Task with the reply as output. A referral whose visit is done is completed by it, together
 * with its request; of any other the reply is a word in between.
 */
export function taskWithReply(record: ReferralRecord, changes: Changes): NewVersion[] {
  const { task } = record
  if (task === undefined) return []
  const { documentId, before, baseUrl } = changes
  const replied = withReply(task.resource, { documentId, replaces: before?.stored.id }, baseUrl)
  return afterReply(record, replied, changes)
}

type Written = Pick<Changes, 'updatedAt' | 'baseUrl'>

/** What a reply that was signed before the visit was done completes, once it is signed again. */
export function completedByReply(record: ReferralRecord, written: Written): NewVersion[] {
  const task = record.task?.resource
  return task === undefined || stateOfTask(task) !== 'visit-done'
    ? []
    : afterReply(record, task, written)
}

function afterReply(
  { task, referral }: ReferralRecord,
  replied: Task,
  { updatedAt, baseUrl }: Written,
): NewVersion[] {
  if (task === undefined) return []
  const isCompleted = stateOfTask(replied) === 'visit-done'
  const next = isCompleted ? closed(withState(replied, 'completed')) : replied
  const changed = ({ stored }: Entry, resource: Task | ServiceRequest): NewVersion => {
    const { id, version, partnerId } = stored
    return newVersion(resource, { id, version: version + 1, partnerId, updatedAt, baseUrl })
  }
  return [
    changed(task, { ...next, lastModified: updatedAt }),
    ...(isCompleted && referral.resource.status === 'active'
      ? [changed(referral, { ...referral.resource, status: 'completed' })]
      : []),
  ]
}
