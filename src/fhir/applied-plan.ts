import { CAUTIONS } from '../domain/cautions.ts'
import { type Message, say } from '../domain/messages/message.ts'
import type { Speaker } from '../domain/messages/speaker.ts'
import type { Triage } from '../domain/triage.ts'
import { referralDraft } from './cds-suggestion.ts'
import {
  activityUrl,
  IN_RANGE,
  INTAKE_FORM,
  planUrl,
  REFERRAL_ACTIVITY,
  REFERRAL_PLAN,
  TASK_ACTIVITY,
} from './conformance/referral-plan.ts'
import { EXCHANGE_CODES } from './codes.ts'
import { concept, noteOf } from './derived.ts'
import type { CarePlan, ServiceRequest, Task } from './r4/types.ts'
import { narrative, paragraph } from './xhtml.ts'

interface Applied {
  readonly triage: Triage
  readonly speaker: Speaker
  readonly patientId: string
  /** `Practitioner/1`. */
  readonly requester: string | undefined
  /** Of what is published. */
  readonly version: string
}

/**
 * The referral plan, applied to a child: a CarePlan whose one activity is a RequestGroup, as PlanDefinition/$apply
 * of R4 has it, with draft request and Task inside. Nothing is stored, so nothing has an id of its own. A child
 * outside the ages of the service has no action.
 */
export function appliedPlan(applied: Applied): CarePlan {
  const { triage, speaker, patientId, version } = applied
  const [age] = triage.suitability.criteria
  const applies = age?.holds !== 'no'
  const said = applies ? [triage.suitability.because] : age === undefined ? [] : [age.because]
  const subject = { reference: `Patient/${patientId}` }
  const plan = `${planUrl(REFERRAL_PLAN)}|${version}`
  const group = {
    resourceType: 'RequestGroup',
    id: 'request-group',
    instantiatesCanonical: [plan],
    status: 'draft',
    intent: 'proposal',
    subject,
    authoredOn: triage.asOf,
    ...(applies ? { action: actions(speaker) } : {}),
  }
  return {
    resourceType: 'CarePlan',
    language: speaker.language,
    text: narrative(...said.map((one) => paragraph(speaker.therapist(one)))),
    contained: applies ? [group, referral(applied), task(applied)] : [group],
    instantiatesCanonical: [plan],
    status: 'draft',
    intent: 'proposal',
    title: speaker.therapist(say('part.advice-create')),
    subject,
    created: triage.asOf,
    activity: [{ reference: { reference: '#request-group' } }],
    note: [...said, ...CAUTIONS].map(noteOf({ speaker })),
  }
}

const ACTIONS: readonly (readonly [id: string, title: Message, resource: string])[] = [
  ['referral', say('part.advice-create'), '#referral'],
  ['task', say('part.advice-task'), '#referral-task'],
  ['intake', say('part.advice-intake'), `Questionnaire/${INTAKE_FORM}`],
]

const actions = ({ therapist }: Speaker) =>
  ACTIONS.map(([id, title, reference]) => ({
    id,
    title: therapist(title),
    condition: [IN_RANGE],
    resource: { reference },
  }))

const referral = ({ version, ...applied }: Applied): ServiceRequest => ({
  ...referralDraft(applied, applied),
  id: 'referral',
  instantiatesCanonical: [`${activityUrl(REFERRAL_ACTIVITY)}|${version}`],
})

const task = ({ triage, patientId, version, requester }: Applied): Task => ({
  resourceType: 'Task',
  id: 'referral-task',
  instantiatesCanonical: `${activityUrl(TASK_ACTIVITY)}|${version}`,
  status: 'draft',
  intent: 'proposal',
  priority: triage.urgency.priority,
  code: concept(EXCHANGE_CODES.referral),
  focus: { reference: '#referral' },
  for: { reference: `Patient/${patientId}` },
  authoredOn: triage.asOf,
  ...(requester === undefined ? {} : { requester: { reference: requester } }),
})
