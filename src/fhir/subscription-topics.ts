import { CANONICAL } from './codes.ts'
import type { Communication, DocumentReference, Resource, Task } from './r4/types.ts'
import { hasCode } from './reading.ts'
import { TASK_CODES } from './workflow-codes.ts'

/** What a system may be told of. */
export interface Topic {
  readonly url: string
  readonly title: string
  /** When it is told, in words. */
  readonly trigger: string
  /** Of the resource that a notification is about. */
  readonly type: Resource['resourceType']
  /** Search parameters of the type that a subscription may filter by. */
  readonly filters: readonly string[]
  /**
   * @param now    a version that was written
   * @param before the version before; undefined for the first, and after a deletion
   */
  readonly isTriggered: (now: Resource, before: Resource | undefined) => boolean
}

/** Of all topics: another one when a trigger changes its meaning. */
export const TOPIC_VERSION = '1.0.0'

const url = (code: string): string => `${CANONICAL}/SubscriptionTopic/${code}`

/** R4 has no resource for topics: this table is listed in the CapabilityStatement, by canonical. */
export const TOPICS: readonly Topic[] = [
  {
    url: url('referral-changed'),
    title: 'A referral came in or changed its state',
    trigger: 'The Task of a referral is created, or its status or businessStatus changes.',
    type: 'Task',
    filters: ['patient', 'focus', 'status', 'business-status', 'priority', 'owner', 'requester'],
    isTriggered: (now, before) =>
      isTask(now) && hasCode(now.code, TASK_CODES.referral) && stateOf(now) !== stateOf(before),
  },
  {
    url: url('information-requested'),
    title: 'Information about a child is asked for',
    trigger: 'A Task is created that asks for information about a referral.',
    type: 'Task',
    filters: ['patient', 'focus', 'priority', 'owner', 'part-of', 'based-on'],
    isTriggered: (now, before) =>
      isTask(now) && hasCode(now.code, TASK_CODES.informationRequest) && before === undefined,
  },
  {
    url: url('message-sent'),
    title: 'A message was written',
    trigger: 'A Communication is created.',
    type: 'Communication',
    filters: ['patient', 'category', 'status', 'recipient', 'based-on'],
    isTriggered: (now, before) => isCommunication(now) && before === undefined,
  },
  {
    url: url('document-issued'),
    title: 'A document was issued or superseded',
    trigger: 'A DocumentReference is created, or becomes superseded.',
    type: 'DocumentReference',
    filters: ['patient', 'type', 'category', 'status', 'related'],
    isTriggered: (now, before) =>
      isDocument(now) &&
      (before === undefined || (now.status === 'superseded' && !isSuperseded(before))),
  },
  {
    url: url('plan-changed'),
    title: 'A plan of care was made or changed',
    trigger: 'A CarePlan is created or updated.',
    type: 'CarePlan',
    filters: ['patient', 'status', 'category', 'based-on'],
    isTriggered: (now) => now.resourceType === 'CarePlan',
  },
]

/** @param canonical with a version only if it is ours, `…/referral-changed|1.0.0` */
export const topicOf = (canonical: string): Topic | undefined =>
  TOPICS.find((topic) => topic.url === canonical || `${topic.url}|${TOPIC_VERSION}` === canonical)

const isTask = (resource: Resource): resource is Task => resource.resourceType === 'Task'
const isCommunication = (resource: Resource): resource is Communication =>
  resource.resourceType === 'Communication'
const isDocument = (resource: Resource): resource is DocumentReference =>
  resource.resourceType === 'DocumentReference'
const isSuperseded = (resource: Resource): boolean =>
  isDocument(resource) && resource.status === 'superseded'

/** Status and business status of a Task, as one text. */
function stateOf(resource: Resource | undefined): string | undefined {
  if (resource === undefined || !isTask(resource)) return undefined
  const codes = resource.businessStatus?.coding?.map(({ system, code }) => [system, code]) ?? []
  return JSON.stringify([resource.status, codes, resource.businessStatus?.text])
}
