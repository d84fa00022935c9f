import { isDeepStrictEqual } from 'node:util'
import type { Task } from '../fhir/r4/types.ts'
import { repliesOf } from '../fhir/reply-outputs.ts'
import { signedOffAnswer } from '../fhir/signed-off-answer.ts'
import { AppError } from '../errors.ts'
import type { Caller } from '../security/access-token.ts'
import { insertVersions, type NewVersion } from '../storage/resource-writes.ts'
import { readResource, type StoredVersion } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { askedReferral, type AskedReferral } from './asked-referral.ts'
import type { Context } from './context.ts'
import { documentFacts } from './document-facts.ts'
import { refuseForPartner } from './document-preview.ts'
import { completedByReply } from './issued-documents.ts'
import { noteWritten } from './noted.ts'
import { withRecords } from './records.ts'
import { readEntry } from './referral-record.ts'
import {
  idsOf,
  type Issue,
  type Signed,
  signedOf,
  type SignOffQuestion,
  versionsOf,
} from './signed-document.ts'
import { signerOf } from './signer.ts'
import { type Need, reading, unitOfWork } from './unit-of-work.ts'

const NEEDS: readonly Need[] = [
  { type: 'ServiceRequest', letter: 'r' },
  { type: 'Practitioner', letter: 'r' },
  { type: 'Composition', letter: 'c' },
  { type: 'DocumentReference', letter: 'c' },
  { type: 'DocumentReference', letter: 'u' },
  { type: 'Binary', letter: 'c' },
  { type: 'Task', letter: 'u' },
]

const DOCUMENT = 'DocumentReference'

/** So often a paper is made anew because its record went on meanwhile. */
const ATTEMPTS = 3

/**
 * Keeps a document as a person reviewed it: the Composition with who attested it and when, its renderings and
 * where they are found, in one transaction. The same document, signed off again by the same person, is kept
 * once; one of later data takes the place of the one before, which stays as it was. The reply becomes an output
 * of the referral's Task. For the staff of the clinic.
 *
 * The paper is rendered between two transactions, since that takes long; the second keeps it only if it would
 * still say the same.
 *
 * @returns Parameters as JSON: the DocumentReference, and of a reply that leaves the referral open a word on that
 */
export async function signOffDocument(
  now: Context,
  caller: Caller,
  asked: SignOffQuestion,
): Promise<string> {
  refuseForPartner(caller)
  for (let attempt = 0; attempt < ATTEMPTS; attempt += 1) {
    const before = caller.call.mark()
    const draft = await reading(now, caller, NEEDS, (tx) => issueOf(tx, now, caller, asked))
    if (isKept(draft) && completionOf(draft, now).length === 0)
      return answerOf(draft, draft.kept.body)
    // It is noted with what is written, not as a reading of its own.
    caller.call.backTo(before)
    const signed = isKept(draft) ? undefined : await signedOf(draft, now.now().toISOString())
    const kept = await unitOfWork(now, caller, NEEDS, (tx) =>
      keep(tx, now, caller, { draft, signed }),
    )
    if (kept !== undefined) return kept
  }
  throw new AppError('conflict', 'The record changes while it is signed. Look at it again.')
}

/** A document that is kept, and the referral that it is of. */
interface Kept {
  readonly kept: { readonly id: string; readonly body: string }
  readonly asked: SignOffQuestion
  readonly found: AskedReferral
}

const isKept = (one: Issue | Kept): one is Kept => 'kept' in one

/** @param written with it, the Task of the referral among them where it went on */
const answerOf = (of: Issue | Kept, body: string, written: readonly NewVersion[] = []): string =>
  signedOffAnswer(of.asked.kind, { body, task: taskOf(of, written) })

/** A reply that was signed before the visit completes the referral when it is signed again after it. */
function completionOf({ kept, asked, found: { record } }: Kept, now: Context): NewVersion[] {
  const { baseUrl } = now
  const isReply =
    asked.kind === 'reply' &&
    record.task !== undefined &&
    repliesOf(record.task.resource, baseUrl).includes(kept.id)
  return isReply ? completedByReply(record, { updatedAt: now.now().toISOString(), baseUrl }) : []
}

interface Draft {
  readonly draft: Issue | Kept
  /** Undefined when it was signed before. */
  readonly signed: Signed | undefined
}

/** @returns the answer; undefined when the record went on since the paper was rendered */
async function keep(
  tx: Tx,
  now: Context,
  caller: Caller,
  { draft, signed }: Draft,
): Promise<string | undefined> {
  const issue = await issueOf(tx, now, caller, draft.asked)
  if (isKept(issue)) {
    const versions = await write(tx, caller, issue, completionOf(issue, now))
    return answerOf(issue, issue.kept.body, versions)
  }
  if (signed === undefined || isKept(draft)) return undefined
  if (issue.id !== draft.id || !isDeepStrictEqual(issue.signer, draft.signer)) return undefined
  const versions = await write(tx, caller, issue, versionsOf(issue, signed))
  return answerOf(issue, bodyOf(versions, issue.id), versions)
}

async function write(
  tx: Tx,
  caller: Caller,
  { found }: Issue | Kept,
  made: readonly NewVersion[],
): Promise<readonly NewVersion[]> {
  if (made.length === 0) return []
  const versions = await withRecords(tx, found.context, caller.clinicId, made)
  await insertVersions(tx, caller.clinicId, versions)
  noteWritten(caller, versions)
  return versions
}

/** The Task of the referral as it stands now. */
function taskOf({ found }: Issue | Kept, versions: readonly NewVersion[]): Task | undefined {
  const written = versions.find(({ type }) => type === 'Task')
  if (written === undefined) return found.record.task?.resource
  const { resource } = readEntry(written)
  return resource.resourceType === 'Task' ? resource : undefined
}

/** What is to be signed off as the record stands, or what was signed off already. */
async function issueOf(
  tx: Tx,
  now: Context,
  caller: Caller,
  asked: SignOffQuestion,
): Promise<Issue | Kept> {
  const { referralId, language } = asked
  const found = await askedReferral(tx, now, caller, { referralId, language, asOf: undefined })
  const { facts, derived } = await documentFacts(tx, caller, found)
  const signer = await signerOf(tx, caller, asked.person, found.context.baseUrl)
  const ids = idsOf(found, facts, asked)
  for (let replaced = 0; ; replaced += 1) {
    const id = ids(replaced)
    const stored = await readResource(tx, { clinicId: caller.clinicId, type: DOCUMENT, id })
    if (stored === undefined) return { id, facts, derived, signer, asked, found }
    if (isReplaced(stored)) continue
    caller.call.touch({ type: DOCUMENT, id, did: 'read' }, stored.patientId)
    return { kept: { id, body: stored.body }, asked, found }
  }
}

/** Of what is deleted, or superseded, nothing is in force: the same words signed again are a new document. */
function isReplaced(stored: StoredVersion): boolean {
  if (stored.deleted) return true
  const { resource } = readEntry(stored)
  return resource.resourceType === DOCUMENT && resource.status !== 'current'
}

function bodyOf(versions: readonly NewVersion[], id: string): string {
  const kept = versions.find((one) => one.type === 'DocumentReference' && one.id === id)
  if (kept === undefined) throw new Error('What was signed off is not kept')
  return kept.body
}
