import { REFERRAL_STATES } from '../../domain/referral/referral-states.ts'
import {
  ashworthCode,
  type Code,
  EXCHANGE_CODES,
  FIT_VERDICT_CODES,
  FOLLOW_UP_CODES,
  FPI_BAND_CODES,
  METHOD_CODES,
  OUTCOME_CODES,
  SHOE_SYSTEM_CODES,
  SIDE_CODES,
  SIZE_CODES,
  SYSTEMS,
  VALUE_CODES,
} from '../codes.ts'
import { OVERRIDE_REASONS, OVERRIDE_SYSTEM } from '../cds-overrides.ts'
import { DOCUMENT_CODES, DOCUMENT_SYSTEMS } from '../document-codes.ts'
import { FINDING_CODES } from '../finding-codes.ts'
import { OBSERVATION_KINDS } from '../observation-kinds.ts'
import { CHILD_CODES, FPI_ITEM_CODES, RESULT_CODES } from '../observed-codes.ts'
import type { CodeSystem } from '../r4/types.ts'
import {
  BUSINESS_STATUS_CODES,
  GUIDE_CODES,
  WORKFLOW_CODES,
  WORKFLOW_SYSTEMS,
} from '../workflow-codes.ts'
import { CAUTION, machineName, publication } from './publication.ts'

interface Description {
  readonly id: string
  readonly title: string
  readonly description: string
  readonly system: string
}

const ASHWORTH_GRADES = ['0', '1', '1+', '2', '3', '4'] as const

/** Every code of ours, by the system it is of; the tables are those that the service itself works with. */
const ALL: readonly Code[] = [
  ...OBSERVATION_KINDS.map(({ code }) => code),
  ...Object.values(FPI_ITEM_CODES),
  ...Object.values(RESULT_CODES),
  ...Object.values(CHILD_CODES).flat(),
  ...Object.values(FINDING_CODES),
  ...Object.values(VALUE_CODES),
  ...Object.values(OUTCOME_CODES),
  ...Object.values(FPI_BAND_CODES),
  ...Object.values(FOLLOW_UP_CODES),
  ...Object.values(FIT_VERDICT_CODES),
  ...Object.values(SHOE_SYSTEM_CODES),
  ...ASHWORTH_GRADES.map(ashworthCode),
  ...Object.values(SIDE_CODES),
  ...Object.values(SIZE_CODES),
  ...Object.values(METHOD_CODES),
  ...Object.values(EXCHANGE_CODES),
  ...WORKFLOW_CODES,
  ...OVERRIDE_REASONS.map(({ code }) => code),
  ...DOCUMENT_CODES,
]

const of = (system: string): Code[] => [
  ...new Map(
    ALL.filter((code) => code.system === system).map((code) => [code.code, code]),
  ).values(),
]

const DESCRIPTIONS: readonly Description[] = [
  {
    id: 'observation',
    title: 'What is observed and what is found',
    description:
      'Facts about a child that rules read, and findings that are computed from them: milestones, foot posture, signs, measurements, ages, urgency, sizes.',
    system: SYSTEMS.observation,
  },
  {
    id: 'value',
    title: 'Values of coded observations',
    description: 'Answers and outcomes of observations and findings.',
    system: SYSTEMS.value,
  },
  {
    id: 'side',
    title: 'Left and right foot',
    description: 'Which foot something is of.',
    system: SYSTEMS.side,
  },
  {
    id: 'method',
    title: 'How something was observed',
    description: 'By whom a fact was observed, and whether the foot was stood on.',
    system: SYSTEMS.method,
  },
  {
    id: 'device-property',
    title: 'Dimensions of a size',
    description: 'What a size of a device is, in mm.',
    system: SYSTEMS.deviceProperty,
  },
  {
    id: 'exchange',
    title: 'Requests, goals and states of the exchange',
    description: 'What is asked for, planned and answered between referrer and clinic.',
    system: SYSTEMS.exchange,
  },
  {
    id: 'business-status',
    title: 'Where a referral stands',
    description: 'Business statuses of the Task of a referral, finer than its status.',
    system: WORKFLOW_SYSTEMS.businessStatus,
  },
  {
    id: 'task',
    title: 'What a Task asks for',
    description: 'Tasks that the exchange itself makes beside those of referrals.',
    system: WORKFLOW_SYSTEMS.task,
  },
  {
    id: 'task-detail',
    title: 'What goes into a Task and comes out of it',
    description: 'Types of the inputs and outputs of Tasks.',
    system: WORKFLOW_SYSTEMS.taskDetail,
  },
  {
    id: 'timer',
    title: 'Why a reminder stands on the worklist',
    description: 'What has not happened to a referral in time, and that it has meanwhile.',
    system: WORKFLOW_SYSTEMS.timer,
  },
  {
    id: 'override-reason',
    title: 'Why a card is not followed',
    description: 'What is answered to advice at the point of care that somebody overrides.',
    system: OVERRIDE_SYSTEM,
  },
  {
    id: 'document-kind',
    title: 'Documents that are made of a referral',
    description: 'Which document it is, beside its code in LOINC.',
    system: DOCUMENT_SYSTEMS.kind,
  },
  {
    id: 'document-section',
    title: 'Sections of documents',
    description: 'What a section of a document tells of.',
    system: DOCUMENT_SYSTEMS.section,
  },
]

const GUIDE_PROPERTY = {
  code: 'referral-guide',
  description: 'What the state is called in the open guide for referrals between services.',
  type: 'Coding',
} as const

/** What a state of a referral is called elsewhere. */
function guideProperty({ system, code }: Code) {
  if (system !== WORKFLOW_SYSTEMS.businessStatus) return {}
  const state = REFERRAL_STATES.find((one) => BUSINESS_STATUS_CODES[one].code === code)
  const coding = state === undefined ? undefined : GUIDE_CODES[state]
  return coding === undefined
    ? {}
    : { property: [{ code: GUIDE_PROPERTY.code, valueCoding: coding }] }
}

/** Our code systems with all their codes; that of rules is named only, its codes are those of a rule set. */
export const codeSystems = (version: string): CodeSystem[] => [
  ...DESCRIPTIONS.map(
    ({ id, title, description, system }): CodeSystem => ({
      resourceType: 'CodeSystem',
      ...publication('CodeSystem', id, version),
      name: machineName(id),
      title,
      description: `${description} ${CAUTION}`,
      caseSensitive: true,
      valueSet: system.replace('/CodeSystem/', '/ValueSet/'),
      content: 'complete',
      count: of(system).length,
      ...(system === WORKFLOW_SYSTEMS.businessStatus ? { property: [GUIDE_PROPERTY] } : {}),
      concept: of(system).map((code) => ({
        code: code.code,
        display: code.display,
        ...guideProperty(code),
      })),
    }),
  ),
  {
    resourceType: 'CodeSystem',
    ...publication('CodeSystem', 'rule', version),
    name: 'Rule',
    title: 'Rules',
    description: `Criteria, exclusions, red flags and contributions. The codes are the identifiers of the rules in the rule set that a result names. ${CAUTION}`,
    caseSensitive: true,
    content: 'not-present',
  },
]
