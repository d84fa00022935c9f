import { CAUTIONS } from '../../domain/cautions.ts'
import { say } from '../../domain/messages/message.ts'
import { speaker } from '../../domain/messages/speaker.ts'
import { SOURCES } from '../../domain/tables/sources.ts'
import { CANONICAL, EXCHANGE_CODES } from '../codes.ts'
import { concept } from '../derived.ts'
import type { ActivityDefinition, PlanDefinition } from '../r4/types.ts'
import { CAUTION, publication } from './publication.ts'

export const REFERRAL_PLAN = 'orthotic-referral'
export const REFERRAL_ACTIVITY = 'orthotic-referral'
export const TASK_ACTIVITY = 'referral-task'
export const INTAKE_FORM = 'referral-intake'

export const planUrl = (id: string): string => `${CANONICAL}/PlanDefinition/${id}`
export const activityUrl = (id: string): string => `${CANONICAL}/ActivityDefinition/${id}`
export const formUrl = (id: string): string => `${CANONICAL}/Questionnaire/${id}`

const PATIENT = {
  coding: [{ system: 'http://hl7.org/fhir/resource-types', code: 'Patient', display: 'Patient' }],
}

/** When a referral is due: the criterion of that name, under the rule set in force. */
export const IN_RANGE = {
  kind: 'applicability' as const,
  expression: {
    description:
      'The criterion age-in-range of the rule set in force, which is not known to fail for the child.',
    language: 'text/plain',
    expression: 'age-in-range',
  },
}

const { therapist } = speaker('en')
const EVIDENCE = [
  ...(['evidence.after-walking', 'evidence.before-walking'] as const).map((key) => say(key)),
  ...CAUTIONS,
].map(therapist)

/** What a referral for orthotic assessment takes: the request, its Task and the form of the intake. */
export const planDefinitions = (version: string): PlanDefinition[] => [
  {
    resourceType: 'PlanDefinition',
    ...publication('PlanDefinition', REFERRAL_PLAN, version),
    name: 'OrthoticReferral',
    title: 'Referral for orthotic assessment',
    type: {
      coding: [
        {
          system: 'http://terminology.hl7.org/CodeSystem/plan-definition-type',
          code: 'workflow-definition',
          display: 'Workflow Definition',
        },
      ],
    },
    subjectCodeableConcept: PATIENT,
    description: `From what is known of a child to a draft referral: $apply computes suitability and urgency and fills them in; nothing is stored. ${EVIDENCE.join(' ')}`,
    relatedArtifact: [
      { type: 'depends-on', resource: `${formUrl(INTAKE_FORM)}|${version}` },
      ...(['looper-ulrich-2010', 'martin-2004', 'orthoses-review-2025'] as const).map((source) => ({
        type: 'citation' as const,
        citation: SOURCES[source].citation,
      })),
    ],
    action: [
      {
        id: 'referral',
        title: 'Refer for orthotic assessment',
        condition: [IN_RANGE],
        definitionCanonical: `${activityUrl(REFERRAL_ACTIVITY)}|${version}`,
      },
      {
        id: 'task',
        title: 'Ask the clinic to take it',
        condition: [IN_RANGE],
        relatedAction: [{ actionId: 'referral', relationship: 'concurrent-with-start' }],
        definitionCanonical: `${activityUrl(TASK_ACTIVITY)}|${version}`,
      },
      {
        id: 'intake',
        title: 'Fill in what the clinic needs to know',
        condition: [IN_RANGE],
        definitionCanonical: `${formUrl(INTAKE_FORM)}|${version}`,
      },
    ],
  },
]

export const activityDefinitions = (version: string): ActivityDefinition[] => [
  {
    resourceType: 'ActivityDefinition',
    ...publication('ActivityDefinition', REFERRAL_ACTIVITY, version),
    name: 'OrthoticReferralRequest',
    title: 'Request for orthotic assessment',
    description: `A draft ServiceRequest with the finding, and the priority that is computed. ${CAUTION}`,
    subjectCodeableConcept: PATIENT,
    kind: 'ServiceRequest',
    profile: `${CANONICAL}/StructureDefinition/orthotic-referral`,
    code: concept(EXCHANGE_CODES.referral),
    intent: 'proposal',
    doNotPerform: false,
    dynamicValue: [today('authoredOn')],
  },
  {
    resourceType: 'ActivityDefinition',
    ...publication('ActivityDefinition', TASK_ACTIVITY, version),
    name: 'OrthoticReferralTask',
    title: 'Task of a referral for orthotic assessment',
    description: `A draft Task whose focus is the request. ${CAUTION}`,
    subjectCodeableConcept: PATIENT,
    kind: 'Task',
    profile: `${CANONICAL}/StructureDefinition/referral-task`,
    code: concept(EXCHANGE_CODES.referral),
    intent: 'proposal',
    doNotPerform: false,
    dynamicValue: [today('authoredOn')],
  },
]

function today(path: string) {
  return { path, expression: { language: 'text/fhirpath' as const, expression: 'today()' } }
}
