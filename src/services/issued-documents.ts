import type { Language } from '../domain/messages/catalogues.ts'
import { concept } from '../fhir/derived.ts'
import { type DocumentKind, kindOfDocument } from '../fhir/document-codes.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import type { DocumentReference } from '../fhir/r4/types.ts'
import { hasCode } from '../fhir/reading.ts'
import { TASK_DETAIL_CODES } from '../fhir/workflow-codes.ts'
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

/** The referral's Task with the reply as output, in the place of one that it supersedes. */
export function taskWithReply(
  { task }: ReferralRecord,
  { documentId, before, updatedAt, baseUrl }: Changes,
): NewVersion[] {
  if (task === undefined) return []
  const { stored, resource } = task
  const isBefore = (reference: string | undefined) =>
    before !== undefined && ownTarget(reference, baseUrl)?.id === before.stored.id
  const others = (resource.output ?? []).filter(
    ({ type, valueReference }) =>
      !hasCode(type, TASK_DETAIL_CODES.reply) || !isBefore(valueReference?.reference),
  )
  const reply = {
    type: concept(TASK_DETAIL_CODES.reply),
    valueReference: { reference: `DocumentReference/${documentId}` },
  }
  const { id, version, partnerId } = stored
  const next = { ...resource, lastModified: updatedAt, output: [...others, reply] }
  return [newVersion(next, { id, version: version + 1, partnerId, updatedAt, baseUrl })]
}
