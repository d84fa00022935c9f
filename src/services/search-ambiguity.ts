import { AppError } from '../errors.ts'
import type { Query } from '../fhir/query.ts'
import { parameterFault } from '../fhir/query-values.ts'
import type { Caller } from '../security/access-token.ts'
import { ambiguousId } from '../storage/search-ambiguity.ts'
import type { Asking } from '../storage/transaction.ts'

/**
 * Throws where a bare id is that of resources of several types, of which each could be meant
 * (R4 3.1.1.4.12): to guess would find what was not asked for.
 *
 * @param at where the condition stands, when the search is one
 */
export async function refuseAmbiguity(
  tx: Asking,
  { clinicId }: Caller,
  query: Pick<Query, 'searches'>,
  at?: string,
): Promise<void> {
  const found = await ambiguousId(tx, clinicId, query)
  if (found === undefined) return
  const [type = ''] = found.types
  const fault = parameterFault(
    found.sentAs,
    'value',
    `This is the id of a ${found.types.join(' and of a ')}: write it as ${type}/${found.id}.`,
  )
  throw new AppError('invalid-request', 'The search cannot be executed.', [
    { ...fault, ...(at === undefined ? {} : { expression: at }) },
  ])
}
