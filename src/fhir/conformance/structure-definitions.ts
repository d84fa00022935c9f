import type { ElementDefinition, StructureDefinition } from '../r4/types.ts'
import { extensionDefinitions } from './extensions.ts'
import type { Profile, ProfileElement } from './profile.ts'
import { COMPUTED_PROFILES } from './profiles-computed.ts'
import { SENT_PROFILES } from './profiles-sent.ts'
import { CAUTION, machineName, publication } from './publication.ts'

const BASE = 'http://hl7.org/fhir/StructureDefinition'

export const PROFILES: readonly Profile[] = [...SENT_PROFILES, ...COMPUTED_PROFILES]

/** Our profiles, as what they ask beyond R4, and the extensions of ours. */
export const structureDefinitions = (version: string): StructureDefinition[] => [
  ...PROFILES.map((profile) => definitionOf(version, profile)),
  ...extensionDefinitions(version),
]

const definitionOf = (
  version: string,
  { id, type, title, description, elements }: Profile,
): StructureDefinition => ({
  resourceType: 'StructureDefinition',
  ...publication('StructureDefinition', id, version),
  name: machineName(id),
  title,
  description: `${description} ${CAUTION}`,
  fhirVersion: '4.0.1',
  kind: 'resource',
  abstract: false,
  type,
  baseDefinition: `${BASE}/${type}`,
  derivation: 'constraint',
  differential: {
    element: [
      { id: type, path: type, short: title, definition: description },
      ...elements.map((element) => elementOf(type, element)),
    ],
  },
})

function elementOf(type: string, element: ProfileElement): ElementDefinition {
  const { path, min, max, short, fixedCode, pattern, binding, rule, type: of } = element
  return {
    id: `${type}.${path}`,
    path: `${type}.${path}`,
    short,
    ...(rule === undefined ? {} : { comment: `Refused otherwise, by the rule \`${rule}\`.` }),
    ...(min === undefined ? {} : { min }),
    ...(max === undefined ? {} : { max }),
    ...(of === undefined ? {} : { type: [{ code: of }] }),
    ...(fixedCode === undefined ? {} : { fixedCode }),
    ...(pattern === undefined
      ? {}
      : {
          patternCodeableConcept: { coding: [{ system: pattern.system, code: pattern.code }] },
        }),
    ...(binding === undefined ? {} : { binding: { strength: 'required', valueSet: binding } }),
  }
}
