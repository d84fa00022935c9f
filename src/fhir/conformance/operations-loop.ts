import type { Operation } from './operation.ts'

/** What keeps a referral going after its triage. */
export const LOOP_OPERATIONS: readonly Operation[] = [
  {
    code: 'accept-plan',
    type: 'ServiceRequest',
    title: 'Acceptance of the proposed fitting plan',
    description:
      'Keeps the plan as it is proposed now, in force; visits bring it up to date from then on. The same proposal again changes nothing, another one takes the place of the plan in force. For the staff of the clinic.',
    affectsState: true,
    parameters: ['language'],
    answer: {
      type: 'Bundle',
      documentation:
        'A collection of the CarePlan, DeviceRequests, Goals, visits and the fit-check Questionnaire as they are kept.',
    },
  },
  {
    code: 'decisions',
    type: 'ServiceRequest',
    title: 'Decisions about a referral',
    description:
      'Every decision that was kept, oldest first, with rule set, size chart and the versions it was made from, and what differs from the one before.',
    affectsState: false,
    parameters: [],
    answer: { type: 'Parameters', documentation: 'One part per decision.' },
  },
]
