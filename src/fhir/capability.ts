import { CANONICAL } from './codes.ts'
import { REGISTRY } from './registry.ts'
import type { ResourceTypeRow } from './registry-row.ts'
import { DEFINITION_BASE } from './search-params.ts'
import type { CapabilityStatement, CapabilityStatementRestResource } from './r4/types.ts'

const OPERATIONS = [
  { type: 'ServiceRequest', name: 'triage' },
  { type: 'ServiceRequest', name: 'fitting-plan' },
  { type: 'ServiceRequest', name: 'follow-up' },
  { type: 'Library', name: 'what-if' },
] as const

/** The day this description was last changed. */
const DATE = '2026-11-25'

/** What the service can do, from the table that drives it. */
export const capabilityStatement = (software: {
  readonly name: string
  readonly version: string
  readonly baseUrl: string
  /** May scripts in a browser call it? */
  readonly cors?: boolean
}): CapabilityStatement => ({
  resourceType: 'CapabilityStatement',
  url: `${CANONICAL}/CapabilityStatement/footing`,
  version: software.version,
  name: 'Footing',
  title: 'Footing, a referral exchange for paediatric orthotics',
  status: 'active',
  date: DATE,
  description:
    'Takes referrals of young children with low muscle tone and excessive foot pronation, computes an explained assessment and a fitting plan. Decision support for a qualified professional, not a diagnosis.',
  kind: 'instance',
  software: { name: software.name, version: software.version },
  implementation: { description: 'This instance of Footing', url: software.baseUrl },
  fhirVersion: '4.0.1',
  format: ['application/fhir+json', 'json'],
  rest: [
    {
      mode: 'server',
      documentation:
        'A transaction takes POST entries; a conditional create is made with identifier=system|value. A referral in a transaction is triaged before it ends. An update names the version that it replaces in If-Match; without it the answer is 400. A size chart is a transaction of its own, by staff of the clinic: one DeviceDefinition for the line of devices, and one per size with the line as its parentDevice. The chart sent last is in force; a chart is never changed, a version never taken twice.',
      security: {
        cors: software.cors ?? false,
        description:
          'A bearer token with SMART system scopes is needed for everything but metadata.',
      },
      resource: REGISTRY.map(resourceOf),
      interaction: [{ code: 'transaction' }],
    },
  ],
})

const resourceOf = (row: ResourceTypeRow): CapabilityStatementRestResource => {
  const operations = OPERATIONS.filter(({ type }) => type === row.type)
  return {
    type: row.type,
    interaction: row.interactions.map((code) => ({ code })),
    versioning: row.interactions.includes('update') ? 'versioned-update' : 'versioned',
    readHistory: true,
    updateCreate: false,
    conditionalCreate:
      row.interactions.includes('create') && row.search.some(({ code }) => code === 'identifier'),
    referencePolicy: ['literal', 'local'],
    searchParam: [
      { name: '_id', type: 'token', definition: `${DEFINITION_BASE}Resource-id` },
      { name: '_lastUpdated', type: 'date', definition: `${DEFINITION_BASE}Resource-lastUpdated` },
      ...row.search.map(({ code, kind, definition }) => ({
        name: code,
        type: kind,
        definition: `${DEFINITION_BASE}${definition}`,
      })),
    ],
    ...(operations.length === 0
      ? {}
      : {
          operation: operations.map(({ type, name }) => ({
            name,
            definition: `${CANONICAL}/OperationDefinition/${type}-${name}`,
          })),
        }),
  }
}
