import type { OperationDefinition } from '../r4/types.ts'
import { type Operation, PARAMETERS } from './operation.ts'
import { AUDIT_OPERATIONS } from './operations-audit.ts'
import { FORM_OPERATIONS } from './operations-form.ts'
import { LOOP_OPERATIONS } from './operations-loop.ts'
import { DOCUMENT_OPERATIONS } from './operations-documents.ts'
import { SUBSCRIPTION_OPERATIONS } from './operations-subscription.ts'
import { CAUTION, machineName, publication } from './publication.ts'

const ASKED = ['asOf', 'ruleset', 'chart', 'language', 'knownAt']

/** The operations of our own; those of R4 and of Bulk Data have their official definitions. */
export const OPERATIONS: readonly Operation[] = [
  {
    code: 'triage',
    type: 'ServiceRequest',
    title: 'Triage of a referral',
    description:
      'Computes a referral and returns every finding with its reason. As things stand now the findings are stored, once; for another day, rule set, chart or instant nothing is.',
    affectsState: true,
    parameters: ASKED,
    answer: {
      type: 'Bundle',
      documentation: 'A collection of Observations, a RiskAssessment and the Provenance.',
    },
  },
  {
    code: 'fitting-plan',
    type: 'ServiceRequest',
    title: 'Fitting plan of a suitable child',
    description: 'A proposal for the orthotist to approve. Nothing is stored.',
    affectsState: false,
    parameters: ASKED,
    answer: {
      type: 'Bundle',
      documentation:
        'A collection of CarePlan, DeviceRequests, Goals, visits and the fit-check Questionnaire.',
    },
  },
  {
    code: 'follow-up',
    type: 'ServiceRequest',
    title: 'Follow-up of a child that has its devices',
    description:
      'Evaluates a visit: fit, pace before and after, new skills, outgrown, stop signs, and what follows. Nothing is stored.',
    affectsState: false,
    parameters: ASKED,
    answer: { type: 'Bundle', documentation: 'A collection of Observations.' },
  },
  ...(['ServiceRequest', 'Patient'] as const).map(
    (type): Operation => ({
      code: 'chart',
      type,
      title: type === 'Patient' ? 'Picture of a child' : 'Picture of a referral',
      description:
        'Draws what is found about the child, of a Patient by its newest referral. Answered as image/svg+xml, or as the Binary where FHIR JSON is asked for. Nothing is stored.',
      affectsState: false,
      parameters: ['kind', ...ASKED],
      answer: { type: 'Binary', documentation: 'An SVG, 360 units wide.' },
    }),
  ),
  ...DOCUMENT_OPERATIONS,
  {
    code: 'what-if',
    type: 'Library',
    title: 'What a rule set would change',
    description:
      'Which open referrals of the clinic would be decided otherwise under this rule set than under the one in force. For its staff; nothing is stored.',
    affectsState: false,
    parameters: ['asOf'],
    answer: {
      type: 'Parameters',
      documentation: 'One part per referral that changes; the counts stand at the end.',
    },
  },
  {
    code: 'next',
    type: 'Task',
    level: 'type',
    title: 'Who is next',
    description:
      'The most urgent referral whose next step is the clinic’s, then the one that is due first, with its request, its patient and the findings that say why. For the staff of the clinic.',
    affectsState: false,
    parameters: [],
    answer: {
      type: 'Bundle',
      documentation:
        'A searchset: the Task as its match, or none; total says how many referrals wait for the clinic.',
    },
  },
  ...LOOP_OPERATIONS,
  ...FORM_OPERATIONS,
  ...AUDIT_OPERATIONS,
  ...SUBSCRIPTION_OPERATIONS,
]

export const operationDefinitions = (version: string): OperationDefinition[] =>
  OPERATIONS.map(({ base, level, parameters, answer, besides = [], ...operation }) => ({
    resourceType: 'OperationDefinition',
    ...publication('OperationDefinition', `${operation.type}-${operation.code}`, version),
    name: machineName(`${operation.type}-${operation.code}`),
    title: operation.title,
    description: `${operation.description} ${CAUTION}`,
    kind: 'operation',
    affectsState: operation.affectsState,
    code: operation.code,
    ...(base === undefined ? {} : { base }),
    resource: [operation.type],
    system: false,
    type: level !== undefined,
    instance: level !== 'type',
    parameter: [
      ...parameters.flatMap((name) => PARAMETERS[name] ?? []),
      { name: 'return', use: 'out', min: 1, max: '1', ...answer },
      ...besides,
    ],
  }))
