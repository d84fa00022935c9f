import type { Code } from '../codes.ts'
import { FINDING_CODES } from '../finding-codes.ts'
import { OBSERVATION_KINDS } from '../observation-kinds.ts'
import type { ValueSet } from '../r4/types.ts'
import { codeSystems } from './code-systems.ts'
import { CAUTION, machineName, publication } from './publication.ts'

/** One of every code system of ours, and those that profiles bind to. */
export const valueSets = (version: string): ValueSet[] => [
  ...codeSystems(version)
    .filter(({ content }) => content === 'complete')
    .map(
      ({ id = '', title = '', url = '' }): ValueSet => ({
        resourceType: 'ValueSet',
        ...publication('ValueSet', id, version),
        name: machineName(id),
        title,
        description: `All codes of ${url}. ${CAUTION}`,
        compose: { include: [{ system: url }] },
      }),
    ),
  listed(version, {
    id: 'facts',
    title: 'Facts that rules read',
    description: 'What a referrer may observe of a child so that a rule reads it.',
    codes: OBSERVATION_KINDS.map(({ code }) => code),
  }),
  listed(version, {
    id: 'facts-of-a-foot',
    title: 'Facts that are of one foot',
    description: 'Facts that are observed of each foot by itself.',
    codes: OBSERVATION_KINDS.filter(({ ofFoot }) => ofFoot).map(({ code }) => code),
  }),
  listed(version, {
    id: 'findings',
    title: 'Findings that are computed',
    description: 'What the service computes; nobody else writes them.',
    codes: Object.values(FINDING_CODES),
  }),
]

interface Listed {
  readonly id: string
  readonly title: string
  readonly description: string
  readonly codes: readonly Code[]
}

function listed(version: string, { id, title, description, codes }: Listed): ValueSet {
  const systems = [...new Set(codes.map(({ system }) => system))]
  return {
    resourceType: 'ValueSet',
    ...publication('ValueSet', id, version),
    name: machineName(id),
    title,
    description: `${description} ${CAUTION}`,
    compose: {
      include: systems.map((system) => ({
        system,
        concept: [
          ...new Map(
            codes
              .filter((code) => code.system === system)
              .map(({ code, display }) => [code, { code, display }]),
          ).values(),
        ],
      })),
    },
  }
}
