import { AppError } from '../errors.ts'
import { parameterPairs } from '../fhir/parameter-pairs.ts'
import type { ReadOperation } from '../fhir/operations.ts'
import type { Handling } from '../fhir/query-reading.ts'
import type { Caller } from '../security/access-token.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { subsetParameters } from '../fhir/subset-parameters.ts'
import { subset } from '../fhir/summary.ts'
import { atEntry, withinEntry } from './entry-errors.ts'
import { capabilities } from './capabilities.ts'
import { historyIn } from './history.ts'
import type { HistoryTarget } from './history-links.ts'
import { isMetadata } from './needs.ts'
import { readVersionIn, readIn } from './resources.ts'
import { readEntry } from './response-entries.ts'
import { searchIn } from './search.ts'
import type { SearchRequest } from './search-plan.ts'
import { isUnchanged } from './unchanged.ts'

const READ =
  /^([A-Z][A-Za-z]{1,60})\/([A-Za-z0-9\-.]{1,64})(?:\/_history\/([1-9]\d{0,8}))?(?:\?(.*))?$/s
const HISTORY = /^(?:([A-Z][A-Za-z]{1,60})\/(?:([A-Za-z0-9\-.]{1,64})\/)?)?_history(?:\?(.*))?$/s
/** Of a type, of the compartment of a Patient (one type or all), or across types. */
const SEARCH =
  /^(?:Patient\/(?<patientId>[A-Za-z0-9\-.]{1,64})\/(?<inner>[A-Z][A-Za-z]{1,60}|\*)|(?<type>[A-Z][A-Za-z]{1,60}))?(?:\?(?<query>.*))?$/s

/** A read inside a Bundle, with what `Prefer: handling=` says of the parameters of a search. */
interface AskedRead {
  readonly operation: ReadOperation
  readonly handling: Handling
}

/** A read, vread, history or search inside a Bundle, in its transaction: it sees what was written there. */
export async function answeredRead(
  tx: Tx,
  context: Context,
  caller: Caller,
  asked: AskedRead,
): Promise<string> {
  try {
    return await answer(tx, context, caller, asked)
  } catch (error) {
    throw atEntry(asked.operation.at, error)
  }
}

async function answer(
  tx: Tx,
  context: Context,
  caller: Caller,
  { operation, handling }: AskedRead,
): Promise<string> {
  const { url, at, headOnly } = operation
  const told = (body: string): string => readEntry(headOnly ? undefined : body)
  if (isMetadata(url)) return told(capabilities(context).text)
  const read = READ.exec(url)
  if (read !== null) return answeredResource(tx, context, caller, { operation, read })
  const history = HISTORY.exec(url)
  if (history !== null)
    return told(await historyIn(tx, context, caller, { ...historyOf(history), handling }))
  const search = SEARCH.exec(url)?.groups
  if (search === undefined || url === '')
    throw refusedEntry(
      at,
      'A GET inside a Bundle reads a resource, a version of one or a history, asks for metadata, or searches a type, several types or the compartment of a Patient; a search may be a POST with _search too.',
    )
  const asked = { ...searchedBy(search, operation), handling }
  caller.call.search(searchText(url, asked.parameters))
  return told(await searchIn(tx, context, caller, asked))
}

/** As it would be asked alone, for the log. */
function searchText(url: string, parameters: readonly (readonly [string, string])[]): string {
  const pairs = parameters.map(([name, value]): [string, string] => [name, value])
  return `${url.split('?', 1)[0]}?${new URLSearchParams(pairs).toString()}`
}

/** A resource or a version of it, whole or the part that is asked for. */
async function answeredResource(
  tx: Tx,
  context: Context,
  caller: Caller,
  { operation, read }: { readonly operation: ReadOperation; readonly read: RegExpExecArray },
): Promise<string> {
  const [, type = '', id = '', version, query = ''] = read
  const part = subsetParameters([...new URLSearchParams(query)])
  const found =
    version === undefined
      ? await readIn(tx, context, caller, { type, id })
      : await readVersionIn(tx, context, caller, { type, id, version })
  if (isUnchanged(operation, { etag: `W/"${found.version}"`, updatedAt: found.updatedAt }))
    return readEntry(undefined, 304, found)
  return readEntry(operation.headOnly ? undefined : subset(found.body, part), 200, found)
}

/** An address that is not answered here. */
export const refusedEntry = (at: string, text: string): AppError =>
  new AppError('invalid-request', 'The entry cannot be answered.', [
    {
      severity: 'error',
      code: 'not-supported',
      expression: `${at}.request.url`,
      rule: 'entry-url',
      text,
    },
  ])

function searchedBy(
  search: NonNullable<RegExpExecArray['groups']>,
  { form, at }: ReadOperation,
): Omit<SearchRequest, 'handling'> {
  const { patientId, inner, query = '' } = search
  const type = inner ?? search['type']
  return {
    ...(type === undefined || type === '*' ? {} : { type }),
    ...(patientId === undefined ? {} : { patientId }),
    parameters: [
      ...new URLSearchParams(query),
      ...(form === undefined ? [] : withinEntry(at, form, () => parameterPairs(form))),
    ],
  }
}

function historyOf([, type, id, query = '']: RegExpExecArray): {
  readonly target: HistoryTarget
  readonly pairs: readonly (readonly [string, string])[]
} {
  return {
    target: {
      ...(type === undefined ? {} : { type }),
      ...(id === undefined ? {} : { id }),
    },
    pairs: [...new URLSearchParams(query)],
  }
}
