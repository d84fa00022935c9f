import type { Operation } from './operation.ts'

export const SDC_OPERATIONS = 'http://hl7.org/fhir/uv/sdc/OperationDefinition'

/** What is done with the answers to a form of ours. */
export const FORM_OPERATIONS: readonly Operation[] = [
  {
    code: 'extract',
    type: 'QuestionnaireResponse',
    base: `${SDC_OPERATIONS}/QuestionnaireResponse-extract`,
    level: 'type-and-instance',
    title: 'What answers to a form become',
    description:
      'The observations that completed answers to the form referral-intake, or to a form that asks for information, are made into when they come in. Answers that were filled in from the record make none, as they stand there. Nothing is stored. Each entry creates its observation where it is not there yet, so sent to this service after the answers the Bundle creates nothing.',
    affectsState: false,
    parameters: ['questionnaire-response'],
    answer: {
      type: 'Bundle',
      documentation: 'A transaction, with an entry for each observation.',
    },
  },
]
