import type { OperationDefinitionParameter } from '../r4/types.ts'

export const FORM_PARAMETERS: Readonly<Record<string, OperationDefinitionParameter>> = {
  'questionnaire-response': {
    name: 'questionnaire-response',
    use: 'in',
    min: 0,
    max: '1',
    documentation:
      'The answers, where the operation is asked of the type; of a response that is kept none is sent along.',
    type: 'Resource',
  },
}
