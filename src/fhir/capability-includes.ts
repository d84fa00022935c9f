import type { CapabilityStatementRestResource } from './r4/types.ts'
import { targetsOf } from './query-parameters.ts'
import { REGISTRY, rowOf } from './registry.ts'
import type { ResourceTypeRow } from './registry-row.ts'
import type { SearchParam } from './search-params.ts'

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

const referencesTo = (type: string, from: readonly ResourceTypeRow[]): string[] =>
  from.flatMap((row) =>
    row.search
      .filter((param) => param.kind === 'reference' && leadsTo(param, type))
      .map(({ code }) => `${row.type}:${code}`),
  )

const isPublished = ({ published }: ResourceTypeRow): boolean => published === true

/** What names no types leads to any; a canonical that names none leads to nothing that can be told. */
const leadsTo = ({ targets, atoms }: SearchParam, type: string): boolean =>
  targets.length === 0 ? atoms.some((atom) => atom.type === 'Reference') : targets.includes(type)

/** With what is published comes only what is published too: it is open to everybody. */
export function includesOf(
  row: ResourceTypeRow,
): Pick<CapabilityStatementRestResource, 'searchInclude' | 'searchRevInclude'> {
  const from = REGISTRY.filter((one) => isPublished(one) === isPublished(row))
  const [includes, revincludes] = [referencesOf(row), referencesTo(row.type, from)]
  return {
    ...(includes.length === 0 ? {} : { searchInclude: includes }),
    ...(revincludes.length === 0 ? {} : { searchRevInclude: revincludes }),
  }
}
