import { AppError } from '../errors.ts'
import { type KeptEntries, withReferences } from '../fhir/reference-map.ts'
import type { AnyResource, Resource } from '../fhir/r4/types.ts'
import type { Caller } from '../security/access-token.ts'
import type { StoredVersion } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { conditionalReferences } from './conditional-references.ts'
import type { Context } from './context.ts'
import type { Standing } from './current-versions.ts'
import { latestDay } from './day.ts'
import { patchedResource } from './patched-resource.ts'
import { withOwnStatus } from './subscription-writes.ts'

/** A write with what will be kept; none for a deletion and for what stays as it is. */
export interface Content extends Standing {
  readonly resource: Resource | undefined
  /** The partner into whose compartment staff write what they create. */
  readonly forPartner?: string
}

/** What of a write its references are checked by. */
export interface Referring extends Pick<Content, 'id' | 'resource'> {
  readonly operation: Pick<Content['operation'], 'kind' | 'type' | 'resourceAt'>
  /** What a condition found: its version alone. */
  readonly found?: Pick<StoredVersion, 'version'>
  /** What stood before. */
  readonly current?: Pick<StoredVersion, 'version' | 'deleted' | 'body'> | undefined
}

/**
 * What every write will keep: patches applied, and what entries call each other replaced by where they
 * are kept (R4 3.1.0.11).
 */
export async function newContents(
  tx: Tx,
  context: Context,
  caller: Caller,
  standing: readonly Standing[],
): Promise<Content[]> {
  const day = latestDay(context)
  const sent = await Promise.all(
    standing.map(async (one): Promise<Content> => {
      const { operation, does, current } = one
      if (does === 'nothing' || operation.kind === 'delete') return { ...one, resource: undefined }
      if (operation.kind === 'patch')
        return { ...one, resource: await patchedResource(operation, current, day) }
      return { ...one, resource: operation.resource }
    }),
  )
  const contents = withOwnStatus(context, caller, sent)
  const named = namedEntries(context, contents)
  const linked = contents.map((content) => withLinks(content, named))
  const places = await conditionalReferences(tx, context, caller, linked)
  return linked.map((content) => withLinks(content, places))
}

/** What entries are called in their Bundle. */
function namedEntries({ baseUrl }: Context, contents: readonly Content[]): KeptEntries {
  return new Map(
    contents.flatMap(({ operation, id, does, found, current }) => {
      const fullUrl = 'fullUrl' in operation ? operation.fullUrl : undefined
      if (fullUrl === undefined) return []
      const place = `${operation.type}/${id}`
      // Under its own address an entry is known already, and a version that is named is one that exists.
      if (fullUrl === `${baseUrl}/${place}`) return [[fullUrl, { place }] as const]
      const version = does === 'nothing' ? found?.version : (current?.version ?? 0) + 1
      return [[fullUrl, { place, version }] as const]
    }),
  )
}

function withLinks(content: Content, kept: KeptEntries): Content {
  const { resource, operation } = content
  if (resource === undefined || kept.size === 0) return content
  const fullUrl = 'fullUrl' in operation ? operation.fullUrl : undefined
  return { ...content, resource: withReferences(resource, kept, fullUrl) }
}

/** The resource has passed the checks of its type; a part of one that was read as such has not. */
export function refuseSubset({ resourceType, meta }: AnyResource, at: string): void {
  if (!meta?.tag?.some(({ code }) => code === 'SUBSETTED')) return
  throw new AppError('invalid-resource', 'The resource is not whole.', [
    {
      severity: 'error',
      code: 'business-rule',
      expression: at === resourceType ? `${resourceType}.meta.tag` : `${at}.meta.tag`,
      rule: 'subset',
      text: 'This is a part of a resource (SUBSETTED). Read it whole, and send it so.',
    },
  ])
}
