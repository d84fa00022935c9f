import { AppError } from '../errors.ts'
import type { Include } from '../fhir/query-controls.ts'
import { parameterFault } from '../fhir/query-values.ts'
import { rowOf } from '../fhir/registry.ts'
import type { Caller } from '../security/access-token.ts'
import { allows } from '../security/scopes.ts'
import type { StoredVersion } from '../storage/resources.ts'
import { includesOf, MAX_INCLUDED } from '../storage/search-includes.ts'
import type { Asking } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { publishedAlongside } from './published-company.ts'
import { canonicalKeys, type Published, publishedResource } from './published.ts'
import type { FoundPage } from './search-page.ts'

interface Company {
  readonly kept: readonly StoredVersion[]
  readonly published: readonly Published[]
}

/** What comes along with a page; what the token does not allow is left out. */
export async function included(
  tx: Asking,
  context: Context,
  caller: Caller,
  {
    includes,
    page: { found, shown },
  }: { readonly includes: readonly Include[]; readonly page: Pick<FoundPage, 'found' | 'shown'> },
): Promise<Company> {
  if (includes.length === 0) return { kept: [], published: [] }
  const matches = [...found, ...shown]
  const mayRead = (type: string) =>
    rowOf(type)?.published === true || allows(caller.scopes, type, 'r')
  const { resources, published, tooMany } = await includesOf(
    tx,
    caller,
    {
      includes,
      matches,
      published: {
        keys: canonicalKeys(context),
        alongside: (asked, sources) => publishedAlongside(context, asked, sources),
      },
    },
    mayRead,
  )
  if (!tooMany)
    return {
      kept: resources,
      published: published.flatMap((key) => publishedResource(context, key) ?? []),
    }
  throw new AppError('invalid-request', 'The search cannot be executed.', [
    parameterFault(
      '_count',
      'too-costly',
      `More than ${MAX_INCLUDED} resources would come along with this page; ask for fewer matches.`,
    ),
  ])
}
