import type { Operation } from './operation.ts'

/** Operations that make papers of a referral. */
export const DOCUMENT_OPERATIONS: readonly Operation[] = [
  {
    code: 'documents',
    type: 'ServiceRequest',
    title: 'Document of a referral',
    description:
      'Makes a document of a referral as a draft to review: text/html, application/pdf, or a FHIR document where FHIR JSON is asked for. For the staff of the clinic; nothing is stored.',
    affectsState: false,
    parameters: ['documentKind', 'paper', 'asOf', 'ruleset', 'chart', 'language', 'knownAt'],
    answer: { type: 'Bundle', documentation: 'A Bundle of type document.' },
  },
  {
    code: 'sign-off',
    type: 'ServiceRequest',
    title: 'Sign-off of a document',
    description:
      'Keeps a document as a person reviewed it, with who attested it and when. One of later data takes the place of the one before, which stays. The reply becomes an output of the Task of the referral, which it completes when the visit is done; where it does not, outcome says so. For the staff of the clinic.',
    affectsState: true,
    parameters: ['documentKind', 'paper', 'person', 'release', 'language'],
    answer: {
      type: 'DocumentReference',
      documentation: 'With its renderings as Binaries, its Composition and what it was made from.',
    },
    besides: [
      {
        name: 'outcome',
        use: 'out',
        min: 0,
        max: '1',
        documentation: 'A warning that the reply does not complete the referral, and why.',
        type: 'OperationOutcome',
      },
    ],
  },
]
