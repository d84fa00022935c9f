import type { AuditRecord } from '../fhir/audit-record.ts'
import { kindOfDocument } from '../fhir/document-codes.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import type { DocumentReference, Task } from '../fhir/r4/types.ts'
import { isReferralTask } from '../fhir/referral-task.ts'
import { repliesOf, withOpening } from '../fhir/reply-outputs.ts'
import { awaitChildren } from '../storage/child-locks.ts'
import { insertVersions, type NewVersion } from '../storage/resource-writes.ts'
import { readOfChild, readResource } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { newVersion } from './new-version.ts'
import { type Entry, readEntry } from './referral-record.ts'

/** That a partner was given the content of a document. */
export interface Opening {
  readonly partnerId: string
  readonly type: 'Binary' | 'Composition'
  readonly id: string
  /** ISO instant. */
  readonly at: string
}

/**
 * Whoever asks for these has the words of one document before it. What is found by a search or with a whole record
 * may never be looked at, and a DocumentReference only names it.
 */
const OPENING = new Set(['read', 'vread', '$document'])

/** Was only a part asked for? */
const isPart = (query: string): boolean =>
  [...new URLSearchParams(Buffer.from(query, 'base64').toString())].some(
    ([name, value]) =>
      value !== '' && (name === '_elements' || (name === '_summary' && value !== 'false')),
  )

/** The documents that a call opened, as the log has it: their words were sent, and whole. */
export function openingsIn(record: AuditRecord, recorded: string): Opening[] {
  const { interaction, status, partner, about, query = '', headOnly } = record
  if (partner === undefined || status !== 200 || !OPENING.has(interaction)) return []
  if (headOnly === true || isPart(query)) return []
  return about.flatMap(({ ref }): Opening[] => {
    const [type, id = ''] = ref.split('/')
    return type === 'Binary' || type === 'Composition'
      ? [{ partnerId: partner, type, id, at: recorded }]
      : []
  })
}

/**
 * Notes on the Task of a referral that its sender opened the reply, once, and closes the loop of what is
 * completed. In the transaction that reads the log, so that no opening is lost and none counts twice.
 */
export async function noteOpenings(
  tx: Tx,
  context: Pick<Context, 'now' | 'baseUrl'>,
  clinicId: string,
  openings: readonly Opening[],
): Promise<readonly NewVersion[]> {
  const written: NewVersion[] = []
  for (const opening of openings) {
    const versions = await noteOpening(tx, context, clinicId, opening)
    await insertVersions(tx, clinicId, versions)
    written.push(...versions)
  }
  return written
}

async function noteOpening(
  tx: Tx,
  { now, baseUrl }: Pick<Context, 'now' | 'baseUrl'>,
  clinicId: string,
  opening: Opening,
): Promise<NewVersion[]> {
  const document = await openedDocument(tx, baseUrl, clinicId, opening)
  const { patientId, partnerId, id } = document?.stored ?? {}
  if (patientId === undefined || id === undefined || partnerId !== opening.partnerId) return []
  if (kindOfDocument(document?.resource.type) !== 'reply') return []
  await awaitChildren(tx, clinicId, [patientId])
  const tasks = (await readOfChild(tx, clinicId, patientId, ['Task'])).map(readEntry)
  return tasks.flatMap(({ stored, resource: task }) => {
    if (stored.partnerId !== opening.partnerId || !isReferralTask(task)) return []
    if (!repliesOf(task, baseUrl).includes(id)) return []
    const opened = withOpening(task, opening.at)
    if (opened === task) return []
    const updatedAt = now().toISOString()
    const next: Task = { ...opened, lastModified: updatedAt }
    const key = { id: stored.id, version: stored.version + 1, partnerId, updatedAt, baseUrl }
    return [newVersion(next, key)]
  })
}

/** A Composition has the id of its DocumentReference; a rendering is protected as it is. */
async function openedDocument(
  tx: Tx,
  baseUrl: string,
  clinicId: string,
  { type, id }: Opening,
): Promise<Entry<DocumentReference> | undefined> {
  const documentId =
    type === 'Composition' ? id : await documentOfBinary(tx, baseUrl, { clinicId, type, id })
  if (documentId === undefined) return undefined
  const key = { clinicId, type: 'DocumentReference', id: documentId }
  const stored = await readResource(tx, key)
  if (stored === undefined || stored.deleted) return undefined
  const entry = readEntry(stored)
  return isDocument(entry) ? entry : undefined
}

const isDocument = (entry: Entry): entry is Entry<DocumentReference> =>
  entry.resource.resourceType === 'DocumentReference'

async function documentOfBinary(
  tx: Tx,
  baseUrl: string,
  key: { readonly clinicId: string; readonly type: string; readonly id: string },
): Promise<string | undefined> {
  const stored = await readResource(tx, key)
  if (stored === undefined || stored.deleted) return undefined
  const { resource } = readEntry(stored)
  const context = resource.resourceType === 'Binary' ? resource.securityContext : undefined
  const target = ownTarget(context?.reference, baseUrl)
  return target?.type === 'DocumentReference' ? target.id : undefined
}
