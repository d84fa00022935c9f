import { CANONICAL } from './codes.ts'
import { OPERATIONS } from './conformance/operation-definitions.ts'
import { SDC_OPERATIONS } from './conformance/operations-form.ts'
import { POPULATE_DOCUMENTATION } from './populate-context.ts'
import type { ResourceTypeRow } from './registry-row.ts'

const BULK = 'http://hl7.org/fhir/uv/bulkdata/OperationDefinition'
const CORE = 'http://hl7.org/fhir/OperationDefinition'
export const SYSTEM_EXPORT = `${BULK}/export`

/** Operations of R4 and of Bulk Data that some types have. */
const OFFICIAL: readonly (readonly [
  type: string,
  name: string,
  definition: string,
  documentation?: string,
])[] = [
  ['Patient', 'everything', `${CORE}/Patient-everything`],
  ['Patient', 'match', `${CORE}/Patient-match`],
  ['Patient', 'export', `${BULK}/patient-export`],
  ['Group', 'export', `${BULK}/group-export`],
  [
    'Composition',
    'document',
    `${CORE}/Composition-document`,
    'Of a Composition of this server; without persist and graph.',
  ],
  [
    'PlanDefinition',
    'apply',
    `${CORE}/PlanDefinition-apply`,
    'Of the plan orthotic-referral, by its address, or sent as planDefinition. Taken are subject, one Patient, and practitioner.',
  ],
  ['Questionnaire', 'populate', `${SDC_OPERATIONS}/Questionnaire-populate`, POPULATE_DOCUMENTATION],
  ['DocumentReference', 'docref', 'http://hl7.org/fhir/us/core/OperationDefinition/docref'],
]

/** The operations of a type, as the CapabilityStatement names them. */
export const operationsOf = ({ type }: ResourceTypeRow) => [
  { name: 'validate', definition: `${CORE}/Resource-validate` },
  ...OFFICIAL.filter(([of]) => of === type).map(([, name, definition, documentation]) => ({
    name,
    definition,
    ...(documentation === undefined ? {} : { documentation }),
  })),
  // Also what is a narrower one of another's: ours says which, and what of it there is.
  ...OPERATIONS.filter((operation) => operation.type === type).map(({ code }) => ({
    name: code,
    definition: `${CANONICAL}/OperationDefinition/${type}-${code}`,
  })),
]
