import type { TokenCriterion } from '../fhir/search-filter.ts'
import type { Context } from './context.ts'
import { publishedResources } from './published.ts'

/** The codes of a value set that this service publishes, for `:in` and `:not-in`; undefined for any other. */
export function knownValueSet(
  context: Context,
  canonical: string,
): readonly TokenCriterion[] | undefined {
  const [url] = canonical.split('|')
  for (const { resource } of publishedResources(context))
    if (resource.resourceType === 'ValueSet' && resource.url === url)
      return (resource.compose?.include ?? []).flatMap(({ system, concept }): TokenCriterion[] => {
        const of = system === undefined ? {} : { system }
        return concept === undefined ? [of] : concept.map(({ code }) => ({ ...of, code }))
      })
  return undefined
}
