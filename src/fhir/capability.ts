import { includesOf } from './capability-includes.ts'
import { CANONICAL } from './codes.ts'
import { operationsOf, SYSTEM_EXPORT } from './capability-operations.ts'
import { PUBLISHED_ON } from './conformance/publication.ts'
import { PROFILES } from './conformance/structure-definitions.ts'
import { REGISTRY } from './registry.ts'
import { SERVER_DOCUMENTATION } from './capability-documentation.ts'
import { BACKPORT } from './subscription-terms.ts'
import { TOPICS } from './subscription-topics.ts'
import type { Interaction, ResourceTypeRow } from './registry-row.ts'
import { DEFINITION_BASE, definitionUrl } from './search-params.ts'
import { originOf, tokenUrl } from './smart-configuration.ts'
import type { CapabilityStatement, CapabilityStatementRestResource } from './r4/types.ts'

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
  date: PUBLISHED_ON,
  description:
    'Takes referrals of young children with low muscle tone and excessive foot pronation, computes an explained assessment and a fitting plan. Decision support for a qualified professional, not a diagnosis.',
  kind: 'instance',
  software: { name: software.name, version: software.version },
  implementation: { description: 'This instance of Footing', url: software.baseUrl },
  fhirVersion: '4.0.1',
  format: ['application/fhir+json', 'json'],
  patchFormat: ['application/json-patch+json', 'application/fhir+json'],
  instantiates: ['http://hl7.org/fhir/uv/bulkdata/CapabilityStatement/bulk-data'],
  rest: [
    {
      mode: 'server',
      documentation: SERVER_DOCUMENTATION,
      security: {
        cors: software.cors ?? false,
        service: [
          {
            coding: [
              {
                system: 'http://terminology.hl7.org/CodeSystem/restful-security-service',
                code: 'SMART-on-FHIR',
              },
            ],
          },
        ],
        description: `A bearer token with SMART system scopes is needed for everything but what the service publishes about itself. A registered system gets one by SMART Backend Services (private_key_jwt); ${software.baseUrl}/.well-known/smart-configuration names the endpoint.`,
        extension: [
          {
            url: 'http://fhir-registry.smarthealthit.org/StructureDefinition/oauth-uris',
            extension: [{ url: 'token', valueUri: tokenUrl(originOf(software.baseUrl)) }],
          },
        ],
      },
      resource: REGISTRY.map(resourceOf),
      interaction: [
        { code: 'transaction' },
        { code: 'batch' },
        { code: 'history-system' },
        { code: 'search-system' },
      ],
      operation: [{ name: 'export', definition: SYSTEM_EXPORT }],
    },
  ],
})

/** R4 has no resource for topics: the guide lists them here. */
const topicsOf = (type: string): Partial<CapabilityStatementRestResource> =>
  type === 'Subscription'
    ? { extension: TOPICS.map(({ url }) => ({ url: BACKPORT.topics, valueCanonical: url })) }
    : {}

const profilesOf = (type: string): string[] => [
  ...(type === 'Subscription' ? [BACKPORT.subscription] : []),
  ...PROFILES.filter((profile) => profile.type === type).map(
    ({ id }) => `${CANONICAL}/StructureDefinition/${id}`,
  ),
]

/** The profile of every instance that is taken, where there is one. */
const profileOf = (type: string): string | undefined =>
  type === 'Subscription'
    ? BACKPORT.subscription
    : PROFILES.filter((profile) => profile.type === type && profile.isOfAll === true).map(
        ({ id }) => `${CANONICAL}/StructureDefinition/${id}`,
      )[0]

/** What only kept resources have: versions and conditions. */
function keptMembers(row: ResourceTypeRow): Partial<CapabilityStatementRestResource> {
  const can = (interaction: Interaction) => row.interactions.includes(interaction)
  return {
    versioning: row.needsIfMatch === true ? 'versioned-update' : 'versioned',
    readHistory: true,
    updateCreate: false,
    conditionalCreate: can('create'),
    conditionalRead: 'full-support',
    conditionalUpdate: can('update') && row.needsIfMatch !== true,
    ...(can('delete') ? { conditionalDelete: 'single' } : { conditionalDelete: 'not-supported' }),
    referencePolicy: ['literal', 'logical', 'enforced'],
  }
}

const resourceOf = (row: ResourceTypeRow): CapabilityStatementRestResource => {
  const [operation, supportedProfile] = [operationsOf(row), profilesOf(row.type)]
  const profile = profileOf(row.type)
  return {
    ...topicsOf(row.type),
    type: row.type,
    ...(profile === undefined ? {} : { profile }),
    ...(supportedProfile.length === 0 ? {} : { supportedProfile }),
    interaction: row.interactions.map((code) => ({ code })),
    ...(row.published === true ? { versioning: 'no-version' as const } : keptMembers(row)),
    ...includesOf(row),
    searchParam: [
      { name: '_id', type: 'token', definition: `${DEFINITION_BASE}Resource-id` },
      { name: '_lastUpdated', type: 'date', definition: `${DEFINITION_BASE}Resource-lastUpdated` },
      ...row.search.map(({ code, kind, definition }) => ({
        name: code,
        type: kind,
        definition: definitionUrl(definition),
      })),
    ],
    ...(operation.length === 0 ? {} : { operation }),
  }
}
