import { rowsAt } from '../fhir/match-rows.ts'
import type { Include } from '../fhir/query-controls.ts'
import type { HasFilter } from '../fhir/search-filter.ts'
import { targetsOf } from '../fhir/query-parameters.ts'
import { MAX_ROUNDS } from '../storage/search-includes.ts'
import type { Context } from './context.ts'
import {
  type Published,
  publishedMatches,
  publishedResource,
  publishedResources,
} from './published.ts'

/** What is published and comes along with what is published: each once, none of the sources. */
export function publishedCompany(
  context: Context,
  includes: readonly Include[],
  sources: readonly Published[],
): readonly Published[] {
  const seen = new Set(sources)
  const company: Published[] = []
  let from = sources
  let asked = includes
  for (let round = 0; round < MAX_ROUNDS && from.length > 0 && asked.length > 0; round += 1) {
    const others = publishedResources(context).filter((one) => !seen.has(one))
    const found = new Set(asked.flatMap((include) => alongside(include, from, others)))
    from = others.filter((one) => found.has(one))
    company.push(...from)
    for (const one of from) seen.add(one)
    asked = includes.filter(({ iterate }) => iterate)
  }
  return company
}

/** Of what is published, what comes along with those of the sources that are published too. */
export function publishedAlongside(
  context: Context,
  includes: readonly Include[],
  sources: readonly { readonly type: string; readonly id: string }[],
): readonly Published[] {
  const ours = sources.flatMap((source) => publishedResource(context, source) ?? [])
  if (ours.length === 0) return []
  const all = publishedResources(context)
  return includes.flatMap((include) => alongside(include, ours, all))
}

/** The ids of those of a type to which what is published refers by a `_has`. */
export function publishedIdsBy(context: Context, type: string, has: HasFilter): string[] {
  const { atoms, filter } = has
  const search = { type: has.type, filters: [filter] }
  const named = publishedMatches(context, { searches: [search] }).map((one) => namedBy(one, atoms))
  return publishedResources(context)
    .filter((one) => one.type === type)
    .filter((one) => named.some((names) => namesOf(one).some((name) => names.has(name))))
    .map(({ id }) => id)
}

function alongside(
  include: Include,
  sources: readonly Published[],
  others: readonly Published[],
): Published[] {
  const holders = include.kind === 'include' ? sources : others
  const targets = include.kind === 'include' ? others : sources
  const pairs = holders
    .filter(({ type }) => type === include.type)
    .flatMap((holder) => {
      const named = namedBy(holder, include.param.atoms)
      return targets
        .filter(
          (target) => mayBeTarget(include, target) && namesOf(target).some((one) => named.has(one)),
        )
        .map((target) => ({ holder, target }))
    })
  return pairs.map(({ holder, target }) => (include.kind === 'include' ? target : holder))
}

function mayBeTarget({ param, target }: Include, { type }: Published): boolean {
  const targets = target === undefined ? targetsOf(param) : [target]
  return targets.length === 0 || targets.includes(type)
}

/** By type and id, or by canonical. */
const namedBy = ({ values }: Published, atoms: HasFilter['atoms']): ReadonlySet<string> =>
  new Set([
    ...rowsAt(values.references, atoms).map(
      ({ targetType, targetId }) => `${targetType}/${targetId}`,
    ),
    ...rowsAt(values.uris, atoms).map(({ value }) => value),
  ])

const namesOf = ({ type, id, resource }: Published): string[] => [
  `${type}/${id}`,
  ...('url' in resource && resource.url !== undefined ? [resource.url] : []),
]
