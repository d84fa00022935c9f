import { CANONICAL } from '../codes.ts'
import type { StructureDefinition } from '../r4/types.ts'
import { CAUTION, machineName, publication } from './publication.ts'

export interface Extension {
  readonly id: string
  readonly title: string
  readonly definition: string
  /** Elements that carry it. */
  readonly on: readonly string[]
  /** The type of its value. */
  readonly type: 'string' | 'decimal' | 'Range' | 'Reference'
}

export const EXTENSIONS: readonly Extension[] = [
  {
    id: 'family-sentence',
    title: 'The sentence for the family',
    definition: 'What is said to the therapist, in plain words for the family.',
    on: [
      'CarePlan.activity.detail',
      'CarePlan.note',
      'Communication.payload',
      'DeviceRequest.note',
      'Goal.description',
      'Goal.note',
      'Observation.component',
      'Observation.note',
      'Questionnaire.item',
      'RiskAssessment.note',
      'RiskAssessment.prediction',
      'ServiceRequest.note',
      'Task',
      'Task.input',
    ],
    type: 'string',
  },
  {
    id: 'urgency-score',
    title: 'The urgency of a referral',
    definition: 'How urgent a referral is, from 0 to 100, as it was computed last.',
    on: ['Task'],
    type: 'decimal',
  },
  {
    id: 'tolerance',
    title: 'What is right at a fit check',
    definition: 'The range in which an answer of a fit check needs no change of the device.',
    on: ['Questionnaire.item'],
    type: 'Range',
  },
  {
    id: 'answer-source',
    title: 'The source of an answer',
    definition: 'The version of the resource that an answer of a form was taken from.',
    on: ['QuestionnaireResponse.item.answer'],
    type: 'Reference',
  },
]

/** The extensions of ours, each with one value. */
export const extensionDefinitions = (version: string): StructureDefinition[] =>
  EXTENSIONS.map(({ id, title, definition, on, type }) => ({
    resourceType: 'StructureDefinition',
    ...publication('StructureDefinition', id, version),
    name: machineName(id),
    title,
    description: `${definition} ${CAUTION}`,
    fhirVersion: '4.0.1',
    kind: 'complex-type',
    abstract: false,
    context: on.map((expression) => ({ type: 'element', expression })),
    type: 'Extension',
    baseDefinition: 'http://hl7.org/fhir/StructureDefinition/Extension',
    derivation: 'constraint',
    differential: {
      element: [
        { id: 'Extension', path: 'Extension', short: definition, definition, max: '1' },
        {
          id: 'Extension.url',
          path: 'Extension.url',
          fixedUri: `${CANONICAL}/StructureDefinition/${id}`,
        },
        { id: 'Extension.value[x]', path: 'Extension.value[x]', min: 1, type: [{ code: type }] },
      ],
    },
  }))
