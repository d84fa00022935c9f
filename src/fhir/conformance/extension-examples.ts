import { CANONICAL } from '../codes.ts'
import type { Extension, Resource } from '../r4/types.ts'

// One resource with each extension of ours. What it says is invented.

const extended = (
  id: string,
  value: Omit<Extension, 'url'>,
): { readonly extension: Extension[] } => ({
  extension: [{ url: `${CANONICAL}/StructureDefinition/${id}`, ...value }],
})

export const EXTENSION_EXAMPLES: Readonly<Record<string, Resource>> = {
  'family-sentence': {
    resourceType: 'Communication',
    status: 'completed',
    payload: [
      {
        contentString: 'Wear is raised by one hour a week up to six hours a day.',
        ...extended('family-sentence', {
          valueString: 'Wear the splints a little longer each week.',
        }),
      },
    ],
  },
  'urgency-score': {
    resourceType: 'Task',
    status: 'requested',
    intent: 'order',
    for: { reference: 'Patient/invented-child' },
    ...extended('urgency-score', { valueDecimal: 62 }),
  },
  tolerance: {
    resourceType: 'Questionnaire',
    status: 'active',
    item: [
      {
        linkId: 'room-at-the-toes',
        text: 'Room in front of the toes, in millimetres',
        type: 'decimal',
        ...extended('tolerance', { valueRange: { low: { value: 5 }, high: { value: 12 } } }),
      },
    ],
  },
  'answer-source': {
    resourceType: 'QuestionnaireResponse',
    status: 'in-progress',
    item: [
      {
        linkId: 'foot-length-left',
        answer: [
          {
            valueDecimal: 128,
            ...extended('answer-source', {
              valueReference: { reference: 'Observation/invented-length/_history/1' },
            }),
          },
        ],
      },
    ],
  },
}
