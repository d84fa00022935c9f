import { ownTarget } from '../fhir/literal-reference.ts'
import type { TokenCriterion } from '../fhir/search-filter.ts'
import type { Context } from './context.ts'
import { publishedResources } from './published.ts'

/**
 * The codes of a value set that this service publishes, for `:in` and `:not-in`; undefined for any other.
 *
 * @param uri where it is kept here, `ValueSet/facts` or the same as an address, or its canonical (R4 3.1.1.4.10)
 */
export function knownValueSet(
  context: Context,
  uri: string,
): readonly TokenCriterion[] | undefined {
  const [canonical] = uri.split('|')
  const kept = ownTarget(uri, context.baseUrl)
  const id = kept?.type === 'ValueSet' ? kept.id : undefined
  for (const { resource } of publishedResources(context))
    if (resource.resourceType === 'ValueSet' && (resource.url === canonical || resource.id === id))
      return (resource.compose?.include ?? []).flatMap(({ system, concept }): TokenCriterion[] => {
        const of = system === undefined ? {} : { system }
        return concept === undefined ? [of] : concept.map(({ code }) => ({ ...of, code }))
      })
  return undefined
}
