import { isDeepStrictEqual } from 'node:util'
import type { Task } from '../fhir/r4/types.ts'
import { signedOffAnswer } from '../fhir/signed-off-answer.ts'
import { AppError } from '../errors.ts'
import type { Caller } from '../security/access-token.ts'
import { insertVersions, type NewVersion } from '../storage/resource-writes.ts'
import { readResource } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { askedReferral } from './asked-referral.ts'
import type { Context } from './context.ts'
import { documentFacts } from './document-facts.ts'
import { refuseForPartner } from './document-preview.ts'
import { noteWritten } from './noted.ts'
import { withRecords } from './records.ts'
import { readEntry } from './referral-record.ts'
import {
  idOf,
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
    if ('body' in draft) return signedOffAnswer(asked.kind, draft)
    // It is noted with what is written, not as a reading of its own.
    caller.call.backTo(before)
    const at = now.now().toISOString()
    const signed = await signedOf(draft, at)
    const kept = await unitOfWork(now, caller, NEEDS, (tx) =>
      keep(tx, now, caller, { draft, signed }),
    )
    if (kept !== undefined) return signedOffAnswer(asked.kind, kept)
  }
  throw new AppError('conflict', 'The record changes while it is signed. Look at it again.')
}

interface Rendered {
  readonly draft: Issue
  readonly signed: Signed
}

/** A document that is kept, and the Task of its referral as it stands then. */
interface SignedOff {
  readonly body: string
  readonly task: Task | undefined
}

/** Undefined when the record went on since the paper was rendered. */
async function keep(
  tx: Tx,
  now: Context,
  caller: Caller,
  { draft, signed }: Rendered,
): Promise<SignedOff | undefined> {
  const issue = await issueOf(tx, now, caller, draft.asked)
  if ('body' in issue) return issue
  if (issue.id !== draft.id || !isDeepStrictEqual(issue.signer, draft.signer)) return undefined
  const { clinicId } = caller
  const made = versionsOf(issue, signed)
  const versions = await withRecords(tx, issue.found.context, clinicId, made)
  await insertVersions(tx, clinicId, versions)
  noteWritten(caller, versions)
  const replied = versions.find(({ type }) => type === 'Task')
  const task = replied === undefined ? issue.found.record.task?.resource : taskIn(replied)
  return { body: bodyOf(versions, issue.id), task }
}

/** What is to be signed off as the record stands, or what was signed off already. */
async function issueOf(
  tx: Tx,
  now: Context,
  caller: Caller,
  asked: SignOffQuestion,
): Promise<Issue | SignedOff> {
  const { referralId, language } = asked
  const found = await askedReferral(tx, now, caller, { referralId, language, asOf: undefined })
  const { facts, derived } = await documentFacts(tx, caller, found)
  const signer = await signerOf(tx, caller, asked.person, found.context.baseUrl)
  const id = idOf(found, facts, asked)
  const { clinicId } = caller
  const kept = await readResource(tx, { clinicId, type: 'DocumentReference', id })
  if (kept === undefined || kept.deleted) return { id, facts, derived, signer, asked, found }
  caller.call.touch({ type: 'DocumentReference', id, did: 'read' }, kept.patientId)
  return { body: kept.body, task: found.record.task?.resource }
}

function bodyOf(versions: readonly NewVersion[], id: string): string {
  const kept = versions.find((one) => one.type === 'DocumentReference' && one.id === id)
  if (kept === undefined) throw new Error('What was signed off is not kept')
  return kept.body
}

function taskIn(version: NewVersion): Task | undefined {
  const { resource } = readEntry(version)
  return resource.resourceType === 'Task' ? resource : undefined
}
