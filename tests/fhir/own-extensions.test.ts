import { describe, expect, test } from 'vitest'

import { observation, patient, rulesOf } from '../helpers/told-rules.ts'

// R4 2.5.0: an extension that is published stands where its StructureDefinition says (context), as often as
// that says (Extension.max) and with the value that it has (Extension.value[x]).

const OWN = 'https://footing.example/fhir/StructureDefinition/'
const extension = (id: string, value: object) => ({ url: `${OWN}${id}`, ...value })
const score = (value: object) => extension('urgency-score', value)
const sentence = extension('family-sentence', { valueString: 'A sentence.' })
const tolerance = extension('tolerance', { valueRange: { low: { value: 1 } } })
const source = extension('answer-source', { valueReference: { reference: 'Patient/a/_history/1' } })

const task = (more: object) => ({
  resourceType: 'Task',
  status: 'requested',
  intent: 'order',
  ...more,
})

const questionnaire = (item: object) => ({
  resourceType: 'Questionnaire',
  status: 'active',
  item: [{ linkId: '1', type: 'group', item: [{ linkId: '1.1', type: 'decimal', ...item }] }],
})

const response = (answer: object) => ({
  resourceType: 'QuestionnaireResponse',
  status: 'completed',
  item: [
    { linkId: '1', answer: [{ valueString: 'a', item: [{ linkId: '2', answer: [answer] }] }] },
  ],
})

describe('an extension of ours is taken where it is defined', () => {
  test.each<[string, object]>([
    ['on its resource', task({ extension: [score({ valueDecimal: 12.5 }), sentence] })],
    [
      'on a part',
      task({ input: [{ extension: [sentence], type: { text: 'a' }, valueString: 'b' }] }),
    ],
    ['on an element of a data type', observation({ note: [{ text: 'a', extension: [sentence] }] })],
    ['on an item below an item', questionnaire({ extension: [tolerance, sentence] })],
    ['on an answer below an answer', response({ valueString: 'b', extension: [source] })],
    [
      'in a contained resource',
      patient({
        contained: [{ ...observation({ note: [{ text: 'a', extension: [sentence] }] }), id: 'o' }],
        extension: [{ url: 'https://a.example/x', valueReference: { reference: '#o' } }],
      }),
    ],
    [
      'in an entry of a Bundle',
      {
        resourceType: 'Bundle',
        type: 'collection',
        entry: [{ resource: task({ extension: [sentence] }) }],
      },
    ],
    [
      'with what says why its value is absent',
      task({
        extension: [
          score({ _valueDecimal: { extension: [{ url: 'https://a.example/x', valueCode: 'y' }] } }),
        ],
      }),
    ],
  ])('%s', (_where, resource) => {
    expect(rulesOf(resource)).toEqual([])
  })
})

describe('an extension of ours is refused, with its path', () => {
  test.each<[string, object, string]>([
    [
      'with a value of another type',
      task({ extension: [score({ valueString: 'high' })] }),
      'extension-value at Task.extension[0].value',
    ],
    [
      'with extensions in place of its value',
      task({ extension: [score({ extension: [{ url: 'a', valueCode: 'b' }] })] }),
      'extension-value at Task.extension[0].value',
    ],
    [
      'on another resource',
      patient({ extension: [score({ valueDecimal: 1 })] }),
      'extension-context at Patient.extension[0]',
    ],
    [
      'on another element',
      task({ code: { text: 'a', extension: [score({ valueDecimal: 1 })] } }),
      'extension-context at Task.code.extension[0]',
    ],
    [
      'on a primitive element',
      task({ _status: { extension: [sentence] } }),
      'extension-context at Task.status.extension[0]',
    ],
    [
      'inside another extension',
      task({ extension: [{ url: 'https://a.example/x', extension: [sentence] }] }),
      'extension-context at Task.extension[0].extension[0]',
    ],
    [
      'in a contained resource that is of another type',
      observation({
        contained: [patient({ id: 'p', extension: [sentence] })],
        subject: { reference: '#p' },
      }),
      'extension-context at Observation.contained[0].extension[0]',
    ],
    [
      'in an entry of a Bundle that is of another type',
      {
        resourceType: 'Bundle',
        type: 'collection',
        entry: [{ resource: patient({ extension: [sentence] }) }],
      },
      'extension-context at Bundle.entry[0].resource.extension[0]',
    ],
    [
      'twice on one element',
      task({ extension: [score({ valueDecimal: 1 }), score({ valueDecimal: 2 })] }),
      'extension-repeated at Task.extension[1]',
    ],
  ])('%s', (_what, resource, told) => {
    expect(rulesOf(resource)).toEqual([told])
  })

  test('and one of somebody else is kept, whatever it holds (R4 2.5.0.2.1)', () => {
    const other = { url: `${OWN}not-published`, valueString: 'a' }
    const foreign = { url: 'https://a.example/urgency-score', valueString: 'a' }

    expect(rulesOf(patient({ extension: [other, foreign, foreign] }))).toEqual([])
  })
})
