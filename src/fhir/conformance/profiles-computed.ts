import type { Profile } from './profile.ts'

const VALUE_SET = 'https://footing.example/fhir/ValueSet'

/** What the service writes. */
export const COMPUTED_PROFILES: readonly Profile[] = [
  {
    id: 'finding',
    type: 'Observation',
    title: 'A finding',
    description:
      'What a triage found, with its reason for a professional as text, for the family as an extension, and every version it was computed from. Never edited: a new triage makes new findings.',
    elements: [
      { path: 'status', short: 'Computed and complete', fixedCode: 'final' },
      {
        path: 'code',
        short: 'Which finding',
        binding: `${VALUE_SET}/findings`,
        rule: 'observation-computed',
      },
      { path: 'subject.reference', min: 1, short: 'The child' },
      { path: 'effective[x]', min: 1, type: 'dateTime', short: 'The day for which it holds' },
      { path: 'derivedFrom', short: 'The facts behind it, each in the version that was read' },
    ],
  },
  {
    id: 'referral-risk',
    type: 'RiskAssessment',
    title: 'Delay as a risk assessment',
    description: 'The estimated delay and its interval, by the rule set that it names.',
    elements: [
      { path: 'subject.reference', min: 1, short: 'The child' },
      { path: 'occurrence[x]', min: 1, type: 'dateTime', short: 'The day for which it holds' },
    ],
  },
]
