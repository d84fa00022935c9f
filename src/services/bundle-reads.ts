import { AppError } from '../errors.ts'
import type { BundleOperation, ReadOperation } from '../fhir/operations.ts'
import type { Handling } from '../fhir/query-reading.ts'
import type { Caller } from '../security/access-token.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { atEntry } from './entry-errors.ts'
import type { EverythingRequest } from './everything-request.ts'
import { historyIn } from './history.ts'
import type { HistoryTarget } from './history-links.ts'
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

const EVERYTHING = /^Patient(?:\/([A-Za-z0-9\-.]{1,64}))?\/\$everything(?:\?(.*))?$/s

/** What an entry asks of $everything, the one operation that a batch answers; undefined when it asks something else. */
export function everythingAsked({
  kind,
  ...entry
}: BundleOperation): EverythingRequest | undefined {
  const found = kind === 'read' && 'url' in entry ? EVERYTHING.exec(entry.url) : null
  if (found === null) return undefined
  const [, patientId, query = ''] = found
  return { patientId, parameters: [...new URLSearchParams(query)] }
}

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
  const [, type, id, version] = READ.exec(url) ?? []
  if (type !== undefined && id !== undefined) {
    const found =
      version === undefined
        ? await readIn(tx, context, caller, { type, id })
        : await readVersionIn(tx, context, caller, { type, id, version })
    if (isUnchanged(operation, { etag: `W/"${found.version}"`, updatedAt: found.updatedAt }))
      return readEntry(undefined, 304, found)
    return readEntry(headOnly ? undefined : found.body, 200, found)
  }
  const history = HISTORY.exec(url)
  if (history !== null) {
    const found = await historyIn(tx, context, caller, historyOf(history))
    return readEntry(headOnly ? undefined : found)
  }
  const search = SEARCH.exec(url)?.groups
  if (search === undefined || url === '')
    throw new AppError('invalid-request', 'The entry cannot be answered.', [
      {
        severity: 'error',
        code: 'not-supported',
        expression: `${at}.request.url`,
        rule: 'entry-url',
        text: 'A GET inside a Bundle reads a resource, a version of one or a history, or searches a type, several types or the compartment of a Patient. An operation is called by itself, but for Patient/$everything in a batch.',
      },
    ])
  const found = await searchIn(tx, context, caller, { ...searchedBy(search), handling })
  return readEntry(headOnly ? undefined : found)
}

function searchedBy(
  search: NonNullable<RegExpExecArray['groups']>,
): Omit<SearchRequest, 'handling'> {
  const { patientId, inner, query = '' } = search
  const type = inner ?? search['type']
  return {
    ...(type === undefined || type === '*' ? {} : { type }),
    ...(patientId === undefined ? {} : { patientId }),
    parameters: [...new URLSearchParams(query)],
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
