import { SIDES } from '../domain/child.ts'
import type { Speaker } from '../domain/messages/speaker.ts'
import type { Triage } from '../domain/triage.ts'
import { SIDE_CODES } from '../fhir/codes.ts'
import { isAnswered, isInformationAnswer } from '../fhir/information-answers.ts'
import { canonicalOf, formQuestionnaire, informationForm } from '../fhir/information-form.ts'
import {
  askedLinks,
  ended,
  isInformationRequest,
  isOpenRequest,
  isSameRequest,
  newRequest,
  type RequestContent,
  requestAfterTriage,
} from '../fhir/information-task.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import { linkOf, neededObservations } from '../fhir/needed-observations.ts'
import { clinicReference, partnerReference } from '../fhir/party-references.ts'
import type { Observation, Resource, Task } from '../fhir/r4/types.ts'
import { hasCode } from '../fhir/reading.ts'
import { kindsOf } from '../fhir/to-domain.ts'
import { serialise } from '../storage/idempotency.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import { readResources } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { firstVersion, newVersion } from './new-version.ts'
import type { Entry, ReferralRecord } from './referral-record.ts'
import { stableId } from './stable-id.ts'

/** What a triage has found about a referral. */
export interface Triaged {
  readonly record: ReferralRecord
  readonly triage: Triage
  readonly speaker: Speaker
}

/**
 * What asks the referrer for exactly what would decide: one open Task per referral and the form to fill.
 * Raised while the referral is in triage and undetermined; brought up to date by every triage, completed
 * when nothing is missing any more. The same triage again changes nothing.
 */
export async function informationVersions(
  tx: Tx,
  context: Context,
  clinicId: string,
  { record, triage, speaker }: Triaged,
): Promise<NewVersion[]> {
  const needed = neededObservations(triage.suitability.missing)
  const form = informationForm(needed)
  const own = requestsOf(record, context.baseUrl)
  const open = own.findLast((one) => isOpenRequest(one.resource))
  const content = contentOf(context, { needed, form }, triage)
  const { partnerId } = record.referral.stored
  const key = { partnerId, updatedAt: content.now, baseUrl: context.baseUrl }
  if (open === undefined) {
    if (needed.length === 0 || !isInTriage(record) || wasRefused(own, content)) return []
    const task = newRequest(placeOf(record, clinicId), content, { speaker })
    const made = newVersion(task, { ...key, id: context.newId(), version: 1 })
    return [...(await formVersions(tx, context, clinicId, { content, partnerId, speaker })), made]
  }
  const answers = answersSince(record, open)
  const next = requestAfterTriage(open.resource, content, { speaker, answers })
  if (isSameRequest(next, open.resource)) return []
  const { id, version } = open.stored
  return [
    ...(await formVersions(tx, context, clinicId, { content, partnerId, speaker })),
    newVersion(next, { ...key, id, version: version + 1 }),
  ]
}

/** Requests of a referral that has ended: nobody needs an answer any more. */
export const abandonedRequests = (
  { baseUrl, now }: Context,
  referral: Entry,
  { entries, speaker }: { readonly entries: readonly Entry[]; readonly speaker: Speaker },
): NewVersion[] =>
  entries
    .filter((entry): entry is Entry<Task> => isOpenRequest(entry.resource))
    .filter(({ resource }) => isAbout(resource, referral.stored.id, baseUrl))
    .map(({ stored, resource }) => {
      const updatedAt = now().toISOString()
      const { id, version, partnerId } = stored
      const key = { id, version: version + 1, partnerId, updatedAt, baseUrl }
      return newVersion(ended(resource, 'cancelled', { now: updatedAt, speaker }), key)
    })

const isAbout = ({ focus }: Task, referralId: string, baseUrl: string): boolean =>
  ownTarget(focus?.reference, baseUrl)?.id === referralId

/** Oldest first. */
const requestsOf = ({ entries, referral }: ReferralRecord, baseUrl: string): Entry<Task>[] =>
  entries
    .filter((entry): entry is Entry<Task> => isInformationRequest(entry.resource))
    .filter(({ resource }) => isAbout(resource, referral.stored.id, baseUrl))
    .toSorted((a, b) => (a.resource.authoredOn ?? '').localeCompare(b.resource.authoredOn ?? ''))

/** Nobody has taken the referral further than triage. */
const isInTriage = ({ task }: ReferralRecord): boolean =>
  task === undefined || ['requested', 'received'].includes(task.resource.status)

/** Whoever refused a request is not asked the same again. */
function wasRefused(own: readonly Entry<Task>[], { needed }: RequestContent): boolean {
  const last = own.at(-1)?.resource
  if (last?.status !== 'rejected' && last?.status !== 'failed') return false
  const refused = askedLinks(last)
  return needed.every(({ code, side }) => refused.has(linkOf(code, side)))
}

/** Answered in time, the child can still be seen by its date. */
const contentOf = (
  { now }: Context,
  asked: Pick<RequestContent, 'needed' | 'form'>,
  { urgency }: Triage,
): RequestContent => ({
  ...asked,
  priority: urgency.priority,
  due: urgency.seeBy,
  now: now().toISOString(),
})

function placeOf({ referral, patient, task }: ReferralRecord, clinicId: string) {
  const { partnerId } = referral.stored
  const clinic = clinicReference(clinicId)
  return {
    referral: `ServiceRequest/${referral.stored.id}`,
    patient: `Patient/${patient.stored.id}`,
    task: task === undefined ? undefined : `Task/${task.stored.id}`,
    requester: clinic,
    // What staff referred themselves they are asked about themselves.
    owner: partnerId === undefined ? clinic : partnerReference(partnerId),
  }
}

/** What came in since a request was made and answers it, as far as its partner sees it. */
function answersSince({ entries, referral }: ReferralRecord, { resource: request }: Entry<Task>) {
  const asked = askedLinks(request)
  return entries
    .filter(
      ({ stored, resource }) =>
        stored.partnerId === referral.stored.partnerId &&
        stored.updatedAt >= (request.authoredOn ?? '') &&
        isAnswer(resource, asked),
    )
    .map(({ stored: { type, id } }) => `${type}/${id}`)
    .toSorted()
}

function isAnswer(resource: Resource, asked: ReadonlySet<string>): boolean {
  if (resource.resourceType === 'QuestionnaireResponse')
    return isInformationAnswer(resource) && isAnswered(resource)
  if (resource.resourceType !== 'Observation' || resource.status === 'entered-in-error')
    return false
  return resource.dataAbsentReason === undefined && linksOf(resource).some((one) => asked.has(one))
}

const linksOf = (observation: Observation): string[] =>
  kindsOf(observation).map(({ code, ofFoot }) =>
    linkOf(
      code,
      ofFoot ? SIDES.find((side) => hasCode(observation.bodySite, SIDE_CODES[side])) : undefined,
    ),
  )

interface FormOf {
  readonly content: RequestContent
  readonly partnerId: string | undefined
  readonly speaker: Speaker
}

/** The form, unless the partner has it already. */
async function formVersions(
  tx: Tx,
  { baseUrl }: Context,
  clinicId: string,
  { content: { form, now }, partnerId, speaker }: FormOf,
): Promise<NewVersion[]> {
  if (form === undefined) return []
  const id = formId(clinicId, partnerId, canonicalOf(form))
  await serialise(tx, [`form ${clinicId} ${id}`])
  const [kept] = await readResources(tx, clinicId, [{ type: 'Questionnaire', id }])
  if (kept !== undefined) return []
  const made = { ...formQuestionnaire(form, { speaker }), id }
  return [firstVersion(made, { partnerId, updatedAt: now, baseUrl })]
}

/** A partner has one copy of a form; another partner has its own. */
export const formId = (
  clinicId: string,
  partnerId: string | undefined,
  canonical: string,
): string => stableId(['form', clinicId, partnerId ?? '', canonical].join('\n'))
