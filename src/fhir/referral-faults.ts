import {
  type Actor,
  REFERRAL_STATES,
  type ReferralState,
} from '../domain/referral/referral-states.ts'
import { REFERRAL_STEPS, type Step } from '../domain/referral/referral-steps.ts'
import type { Refusal } from '../domain/referral/transition.ts'
import type { Fault } from '../errors.ts'
import { BUSINESS_STATUS_CODES, TASK_DETAIL_CODES, WORKFLOW_SYSTEMS } from './workflow-codes.ts'

/** Why a request has its status, where R4 has no element for it. */
export const STATUS_REASON = 'http://hl7.org/fhir/StructureDefinition/request-statusReason'

/** A step that is refused: what was asked for, by whom, and what could be done instead. */
export interface RefusedStep {
  /** Of the Task or ServiceRequest that was sent. */
  readonly at: string
  readonly ofRequest?: boolean
  readonly from: ReferralState
  readonly to: ReferralState
  readonly by: readonly Actor[]
  readonly because: Refusal
  readonly next: readonly Step[]
}

export const workflowFault = (expression: string, rule: string, text: string): Fault => ({
  severity: 'error',
  code: 'business-rule',
  expression,
  rule,
  text,
})

const required = (expression: string, rule: string, text: string): Fault => ({
  ...workflowFault(expression, rule, text),
  code: 'required',
})

const named = (state: ReferralState): string => `${state} (Task ${REFERRAL_STEPS[state].task})`
const list = (words: readonly string[]): string => words.join(', ')

/** The author is one of the two others and not worth a word of its own. */
const party = (by: readonly Actor[]): string =>
  list(by.filter((actor) => actor !== 'author')) || 'author'

export function stepFault({ at, ofRequest, from, to, by, because, next }: RefusedStep): Fault {
  const asked = `From ${named(from)} to ${named(to)} by the ${party(by)}`
  if (because === 'reason')
    return ofRequest === true
      ? required(
          `${at}.extension`,
          'referral-reason',
          `${asked}: say why, in an extension ${STATUS_REASON} with a valueCodeableConcept.`,
        )
      : required(
          `${at}.statusReason`,
          'referral-reason',
          `${asked}: say why, in a statusReason of this step.`,
        )
  if (because === 'reply')
    return required(
      `${at}.output`,
      'referral-reply',
      `${asked}: a referral is completed with a reply, an output of type ${WORKFLOW_SYSTEMS.taskDetail}|${TASK_DETAIL_CODES.reply.code}. Signing off the reply adds it.`,
    )
  const instead =
    next.length === 0 ? 'Nothing can be changed by them.' : `Allowed: ${list(next.map(stepText))}.`
  return workflowFault(`${at}.status`, 'referral-step', `${asked}: not allowed. ${instead}`)
}

const stepText = ({ to, bySecondTask }: Step): string =>
  bySecondTask === true ? `${to} (by a Task with code abort whose focus is this Task)` : named(to)

/** Work in progress of which nobody says how far it is, and statuses that no referral has. */
export const unknownState = (at: string, status: string): Fault =>
  status === 'in-progress'
    ? required(
        `${at}.businessStatus`,
        'referral-business-status',
        `Work in progress says how far it is, by a code of ${WORKFLOW_SYSTEMS.businessStatus} or of ${WORKFLOW_SYSTEMS.referralGuide}: ${list(codesInProgress())}.`,
      )
    : workflowFault(`${at}.status`, 'task-status', 'The Task of a referral has no such status.')

const codesInProgress = (): string[] =>
  REFERRAL_STATES.filter((state) => REFERRAL_STEPS[state].task === 'in-progress').map(
    (state) => BUSINESS_STATUS_CODES[state].code,
  )

export const contradiction = (at: string, status: string): Fault =>
  workflowFault(
    `${at}.businessStatus`,
    'referral-business-status',
    `This business status is of another status than ${status}. Leave it out, or name one that fits.`,
  )

export const decidedElsewhere = (expression: string): Fault =>
  workflowFault(
    expression,
    'referral-decided',
    'This is for the clinic to say, and stays as it is. The referrer may change the status as the table of states allows, with statusReason, and add notes and inputs.',
  )

export const stopsBeingReferral = (at: string): Fault =>
  workflowFault(`${at}.code`, 'referral-code', 'What is a referral stays one.')

export const notItsMaker = (at: string): Fault =>
  workflowFault(
    at,
    'referral-request-maker',
    'A request is changed only by the party that made it. What the clinic does about it is said on its Task.',
  )
