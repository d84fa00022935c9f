import { AppError } from '../errors.ts'
import { toOutcome } from '../fhir/outcome.ts'
import type { Query } from '../fhir/query.ts'
import { parameterFault } from '../fhir/query-values.ts'
import { subset } from '../fhir/summary.ts'
import type { StoredVersion } from '../storage/resources.ts'

type Kept = Pick<StoredVersion, 'type' | 'id' | 'body'>

export interface SearchSet {
  readonly baseUrl: string
  readonly self: string
  readonly next: string | undefined
  readonly total: number | undefined
  readonly found: readonly Kept[]
  readonly included: readonly Kept[]
  readonly query: Query
  /** Of the log, calls since this instant are not all among the matches; ISO in UTC. */
  readonly notYet?: string | undefined
  /** Is something left out that only a search with a token brings along? */
  readonly isOpenOnly?: boolean
}

/** A searchset Bundle as text: the matches, what came along, and a word on what was not understood. */
export function searchSetOf(set: SearchSet): string {
  const { self, next, total, found, included, query } = set
  const links = [
    { relation: 'self', url: self },
    ...(next === undefined ? [] : [{ relation: 'next', url: next }]),
  ]
  const summary =
    query.summary === undefined || query.summary === 'count' ? {} : { summary: query.summary }
  const elements = query.elements === undefined ? {} : { elements: query.elements }
  const entries = [
    ...found.map((one) =>
      entryOf(set, one, 'match', subset(one.body, { ...summary, ...elements })),
    ),
    // `_elements` is for the matches alone (3.1.1.5.9).
    ...included.map((one) => entryOf(set, one, 'include', subset(one.body, summary))),
    ...outcomeEntries(set),
  ]
  return (
    [
      '{"resourceType":"Bundle","type":"searchset"',
      ...(total === undefined ? [] : [`"total":${total}`]),
      `"link":${JSON.stringify(links)}`,
      ...(entries.length === 0 ? [] : [`"entry":[${entries.join(',')}]`]),
    ].join(',') + '}'
  )
}

const entryOf = (
  { baseUrl }: SearchSet,
  { type, id }: Kept,
  mode: 'match' | 'include',
  body: string,
): string =>
  `{"fullUrl":${JSON.stringify(`${baseUrl}/${type}/${id}`)},"resource":${body},"search":{"mode":"${mode}"}}`

const missingCalls = (since: string) => ({
  severity: 'warning' as const,
  code: 'incomplete',
  expression: '',
  rule: 'events-pending',
  text: `Not all calls recorded since ${since} are among these yet: many came in. Ask again in a moment.`,
})

const notAlong = {
  ...parameterFault(
    '_revinclude',
    'not-supported',
    'What is kept does not come along with a search that is open to everybody. With a token, search across types: ?_type=….',
  ),
  severity: 'warning' as const,
}

/** Never an error: the search was made, though without something (3.1.0.9). */
function outcomeEntries({ query: { ignored }, notYet, isOpenOnly }: SearchSet): string[] {
  const faults = [
    ...[...new Set(ignored)].map((name) => ({
      ...parameterFault(name, 'not-supported', 'This parameter is not known here and was ignored.'),
      severity: 'warning' as const,
    })),
    ...(notYet === undefined ? [] : [missingCalls(notYet)]),
    ...(isOpenOnly === true ? [notAlong] : []),
  ]
  if (faults.length === 0) return []
  const { outcome } = toOutcome(new AppError('not-supported', 'Not all that was asked.', faults))
  return [`{"resource":${JSON.stringify(outcome)},"search":{"mode":"outcome"}}`]
}
