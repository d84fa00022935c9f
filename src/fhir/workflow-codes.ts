import type { ReferralState } from '../domain/referral/referral-states.ts'
import { CANONICAL, type Code, codesOf, EXCHANGE_CODES } from './codes.ts'

export const WORKFLOW_SYSTEMS = {
  /** Where a referral stands: Task.businessStatus. */
  businessStatus: `${CANONICAL}/CodeSystem/business-status`,
  /** What a Task asks for: Task.code. */
  task: `${CANONICAL}/CodeSystem/task`,
  /** What goes into a Task and comes out of it: Task.input.type, Task.output.type. */
  taskDetail: `${CANONICAL}/CodeSystem/task-detail`,
  /** Why the exchange reminds: Task.reasonCode of a reminder. */
  timer: `${CANONICAL}/CodeSystem/timer`,
  /** The code system of Task.code in R4. */
  taskCode: 'http://hl7.org/fhir/CodeSystem/task-code',
  /** Business statuses of the open guide for referrals between services (BSeR), harmonised with 360X. */
  referralGuide: 'http://hl7.org/fhir/us/bser/CodeSystem/TaskBusinessStatusCS',
} as const

const status = codesOf(WORKFLOW_SYSTEMS.businessStatus)
const task = codesOf(WORKFLOW_SYSTEMS.task)
const detail = codesOf(WORKFLOW_SYSTEMS.taskDetail)
const timer = codesOf(WORKFLOW_SYSTEMS.timer)
const guide = codesOf(WORKFLOW_SYSTEMS.referralGuide)

export const BUSINESS_STATUS_CODES: Readonly<Record<ReferralState, Code>> = {
  drafted: status('drafted', 'Drafted'),
  sent: status('sent', 'Sent'),
  'in-triage': status('in-triage', 'In triage'),
  'awaiting-information': status('awaiting-information', 'Awaiting information'),
  accepted: status('accepted', 'Accepted'),
  scheduled: status('scheduled', 'Visit scheduled'),
  missed: status('missed', 'Visit missed'),
  'visit-cancelled': status('visit-cancelled', 'Visit cancelled'),
  'visit-done': status('visit-done', 'Visit done'),
  'on-hold': status('on-hold', 'On hold'),
  'cancellation-requested': status('cancellation-requested', 'Cancellation requested'),
  completed: status('completed', 'Completed, reply not opened yet'),
  'loop-closed': status('loop-closed', 'Completed and reply opened by the referrer'),
  rejected: status('rejected', 'Rejected'),
  failed: status('failed', 'Failed'),
  cancelled: status('cancelled', 'Cancelled'),
  'entered-in-error': status('entered-in-error', 'Entered in error'),
}

/** Codes of the guide, with the displays that it publishes. */
const GUIDE = {
  created: guide('2.0', 'Service Request Created'),
  accepted: guide('3.0', 'Service Request Accepted'),
  declined: guide('4.0', 'Service Request Declined'),
  scheduled: guide('5.1.1', 'Service Request Event Scheduled'),
  unattended: guide('5.1.2', 'Scheduled Service Request Event Unattended'),
  eventCancelled: guide('5.1.3', 'Scheduled Service Request Event Cancelled'),
  eventCompleted: guide('5.1.4', 'Service Request Event Completed'),
  cancellationRequested: guide('5.2', 'Service Request Cancellation Requested'),
  cancelled: guide('6.0', 'Service Request Fulfillment Cancelled'),
  completed: guide('7.0', 'Service Request Fulfillment Completed'),
} as const

/**
 * What a state is called in the guide; a draft, a pause and an error have no name there. What was begun and is given
 * up by the clinic is declined there too (its rows 10, 17, 25 and 33), as R4 has no step from in-progress to rejected.
 */
export const GUIDE_CODES: Readonly<Partial<Record<ReferralState, Code>>> = {
  sent: GUIDE.created,
  'in-triage': GUIDE.created,
  'awaiting-information': GUIDE.created,
  accepted: GUIDE.accepted,
  scheduled: GUIDE.scheduled,
  missed: GUIDE.unattended,
  'visit-cancelled': GUIDE.eventCancelled,
  'visit-done': GUIDE.eventCompleted,
  'cancellation-requested': GUIDE.cancellationRequested,
  completed: GUIDE.completed,
  'loop-closed': GUIDE.completed,
  rejected: GUIDE.declined,
  failed: GUIDE.declined,
  cancelled: GUIDE.cancelled,
}

export const TASK_CODES = {
  referral: EXCHANGE_CODES.referral,
  informationRequest: task('information-request', 'Request for information'),
  reminder: task('reminder', 'Reminder'),
  /** Asks that the Task in its focus be given up. */
  abort: {
    system: WORKFLOW_SYSTEMS.taskCode,
    code: 'abort',
    display: 'Mark the focal resource as no longer active',
  },
} as const

export const TASK_DETAIL_CODES = {
  /** Output of a referral's Task: the DocumentReference of the reply to the referrer. */
  reply: detail('reply', 'Reply to the referrer'),
  /** Output of a referral's Task: when the referrer opened the reply, a dateTime. */
  replyOpened: detail('reply-opened', 'Reply opened by the referrer'),
  /** Input of a request to give up: where the referral stood before. */
  stateBefore: detail('state-before', 'Where the referral stood before'),
  /** Input of a request for information: a code of what would decide. */
  neededObservation: detail('needed-observation', 'Observation that would decide'),
  /** Input of a request for information: the form to fill. */
  questionnaire: detail('questionnaire', 'Form to fill'),
  /** Output of a request for information: what was sent. */
  answer: detail('answer', 'Information that was sent'),
} as const

/** Why a reminder stands on the worklist. */
export const TIMER_CODES = {
  noReceipt: timer('no-receipt', 'Not received'),
  noTriage: timer('no-triage', 'Received, not decided'),
  noDecision: timer('no-decision', 'Asked to be given up, not decided'),
  noDate: timer('no-date', 'Accepted, no date for a visit'),
  noReply: timer('no-reply', 'Seen, no reply'),
  informationNotSent: timer('information-not-sent', 'Information asked for, not sent'),
  overdueVisit: timer('overdue-visit', 'See-by date passed, not seen'),
  legalDate: timer('legal-date', 'A date that the law sets is near'),
} as const

/** Why a reminder was closed by the service itself. */
export const REMINDER_SETTLED = timer('cause-gone', 'The cause is gone')

/** Why a visit puts a reminder on the worklist. */
export const VISIT_REMINDER_CODES = {
  stopSign: timer('stop-sign', 'A worn device must come off'),
  noGain: timer('no-gain', 'Nothing gained since the fitting: review'),
  outgrown: timer('outgrown', 'Device outgrown: next size'),
} as const

export const WORKFLOW_EXTENSIONS = {
  /** On a Task: the urgency score, 0 to 100, by which the worklist is sorted. */
  urgencyScore: `${CANONICAL}/StructureDefinition/urgency-score`,
} as const

/** Every code of ours of the loop. */
export const WORKFLOW_CODES: readonly Code[] = [
  ...Object.values(BUSINESS_STATUS_CODES),
  TASK_CODES.informationRequest,
  TASK_CODES.reminder,
  ...Object.values(TASK_DETAIL_CODES),
  ...Object.values(TIMER_CODES),
  REMINDER_SETTLED,
  ...Object.values(VISIT_REMINDER_CODES),
]
