import { CANONICAL } from './codes.ts'
import { operationsOf, SYSTEM_EXPORT } from './capability-operations.ts'
import { PUBLISHED_ON } from './conformance/publication.ts'
import { PROFILES } from './conformance/structure-definitions.ts'
import { targetsOf } from './query-parameters.ts'
import { REGISTRY, rowOf } from './registry.ts'
import { SERVER_DOCUMENTATION } from './capability-documentation.ts'
import { BACKPORT } from './subscription-terms.ts'
import { TOPICS } from './subscription-topics.ts'
import type { Interaction, ResourceTypeRow } from './registry-row.ts'
import { DEFINITION_BASE, definitionUrl, type SearchParam } from './search-params.ts'
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

/** What leads from a type to others, and from others to it. */
const referencesOf = (row: ResourceTypeRow): string[] =>
  row.search
    .filter((param) => param.kind === 'reference' && leadsToKept(param))
    .map(({ code }) => `${row.type}:${code}`)

/** By what names only types that are not kept, such as an Endpoint, others are found, but nothing comes along. */
function leadsToKept(param: SearchParam): boolean {
  const targets = targetsOf(param)
  return targets.length === 0 || targets.some((target) => rowOf(target) !== undefined)
}

const referencesTo = (type: string): string[] =>
  REGISTRY.filter(({ published }) => published !== true).flatMap((row) =>
    row.search
      .filter((param) => param.kind === 'reference' && leadsTo(param, type))
      .map(({ code }) => `${row.type}:${code}`),
  )

/** What names no types leads to any; a canonical leads to none that is kept. */
const leadsTo = ({ targets, atoms }: SearchParam, type: string): boolean =>
  targets.length === 0 ? atoms.some((atom) => atom.type === 'Reference') : targets.includes(type)

/** What only kept resources have: versions, conditions, what leads to and from them. */
function keptMembers(row: ResourceTypeRow): Partial<CapabilityStatementRestResource> {
  const can = (interaction: Interaction) => row.interactions.includes(interaction)
  const [includes, revincludes] = [referencesOf(row), referencesTo(row.type)]
  return {
    versioning: row.needsIfMatch === true ? 'versioned-update' : 'versioned',
    readHistory: true,
    updateCreate: false,
    conditionalCreate: can('create'),
    conditionalRead: 'full-support',
    conditionalUpdate: can('update') && row.needsIfMatch !== true,
    ...(can('delete') ? { conditionalDelete: 'single' } : { conditionalDelete: 'not-supported' }),
    referencePolicy: ['literal', 'logical', 'enforced'],
    ...(includes.length === 0 ? {} : { searchInclude: includes }),
    ...(revincludes.length === 0 ? {} : { searchRevInclude: revincludes }),
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
