import { speaker } from '../../domain/messages/speaker.ts'
import { CANONICAL } from '../codes.ts'
import { intakeQuestionnaire } from '../intake-form.ts'
import { narrative, paragraph } from '../xhtml.ts'
import type { Resource } from '../r4/types.ts'
import { codeSystems } from './code-systems.ts'
import { operationDefinitions } from './operation-definitions.ts'
import { activityDefinitions, planDefinitions } from './referral-plan.ts'
import { searchParameters } from './search-parameters.ts'
import { PROFILES, structureDefinitions } from './structure-definitions.ts'
import { valueSets } from './value-sets.ts'

/** Everything that the service publishes about itself beside its CapabilityStatement. */
export const publishedDefinitions = (version: string): Resource[] =>
  [
    ...structureDefinitions(version),
    ...valueSets(version),
    ...codeSystems(version),
    ...operationDefinitions(version),
    ...planDefinitions(version),
    ...activityDefinitions(version),
    intakeQuestionnaire(version, { speaker: speaker('en') }),
    ...searchParameters(version),
  ].map(({ resourceType, id, ...rest }) => ({
    resourceType,
    id,
    text: narrative(
      [
        paragraph(('title' in rest ? rest.title : rest.name) ?? ''),
        paragraph(rest.description ?? ''),
      ].join(''),
    ),
    ...rest,
  })) as Resource[]

/** The canonicals of our profiles, by themselves and with the one version that is kept. */
export const profileUrls = (version: string): ReadonlySet<string> =>
  new Set(
    PROFILES.map(({ id }) => `${CANONICAL}/StructureDefinition/${id}`).flatMap((url) => [
      url,
      `${url}|${version}`,
    ]),
  )
