import { rowsAt } from '../fhir/match-rows.ts'
import type { Include } from '../fhir/query-controls.ts'
import { targetsOf } from '../fhir/query-parameters.ts'
import type { Context } from './context.ts'
import { type Published, publishedResources } from './published.ts'

/** How far `:iterate` follows, as among what is kept. */
const MAX_ROUNDS = 5

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
      const named = namedBy(holder, include)
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
const namedBy = ({ values }: Published, { param: { atoms } }: Include): ReadonlySet<string> =>
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
