import { AppError } from '../errors.ts'
import { toOutcome } from '../fhir/outcome.ts'
import type { Caller } from '../security/access-token.ts'
import { maySee } from './shown-content.ts'
import type { Done, Kept } from './write.ts'

/** What the sender of a write wants back (`Prefer: return=`). */
export type Returns = 'minimal' | 'representation' | 'OperationOutcome' | undefined

const STATUS = {
  created: '201 Created',
  updated: '200 OK',
  deleted: '204 No Content',
  nothing: '200 OK',
} as const

const REASONS: Readonly<Record<number, string>> = {
  200: 'OK',
  304: 'Not Modified',
  400: 'Bad Request',
  403: 'Forbidden',
  404: 'Not Found',
  405: 'Method Not Allowed',
  409: 'Conflict',
  410: 'Gone',
  412: 'Precondition Failed',
  422: 'Unprocessable Entity',
  500: 'Internal Server Error',
}

export const ALL_WELL =
  '{"resourceType":"OperationOutcome","issue":[{"severity":"information","code":"informational","details":{"text":"Done."}}]}'

/** The entry of a response Bundle that tells what became of a write, as JSON. */
export function writtenEntry(
  { baseUrl }: { readonly baseUrl: string },
  caller: Caller,
  done: Done,
  returns: Returns,
): string {
  const { did, kept } = done
  if (kept === undefined || did === 'deleted')
    return entryText({ response: { status: STATUS.deleted, ...(kept ? versionOf(kept) : {}) } })
  const fullUrl = `${baseUrl}/${kept.type}/${kept.id}`
  const response = {
    status: STATUS[did],
    location: `${fullUrl}/_history/${kept.version}`,
    ...versionOf(kept),
  }
  const resource = returns === 'representation' && maySee(caller, done) ? kept.body : undefined
  return entryText({
    fullUrl,
    resource,
    response,
    outcome: returns === 'OperationOutcome' ? ALL_WELL : undefined,
  })
}

/** The entry of a read or search that was answered. */
export const readEntry = (
  body: string | undefined,
  status = 200,
  version?: Pick<Kept, 'version' | 'updatedAt'>,
): string =>
  entryText({
    resource: body,
    response: {
      status: `${status} ${REASONS[status] ?? ''}`,
      ...(version === undefined ? {} : versionOf(version)),
    },
  })

/** The entry of a batch that failed; others of it may not have. */
export function failedEntry(error: unknown): string {
  if (!(error instanceof AppError)) throw error
  const { status, outcome } = toOutcome(error)
  return entryText({
    response: { status: `${status} ${REASONS[status] ?? 'Error'}` },
    outcome: JSON.stringify(outcome),
  })
}

const versionOf = ({ version, updatedAt }: Pick<Kept, 'version' | 'updatedAt'>) => ({
  etag: `W/"${version}"`,
  lastModified: updatedAt,
})

function entryText({
  fullUrl,
  resource,
  response,
  outcome,
}: {
  readonly fullUrl?: string
  readonly resource?: string | undefined
  readonly response: object
  readonly outcome?: string | undefined
}): string {
  const told = JSON.stringify(response)
  const answer = outcome === undefined ? told : `${told.slice(0, -1)},"outcome":${outcome}}`
  return [
    '{',
    fullUrl === undefined ? '' : `"fullUrl":${JSON.stringify(fullUrl)},`,
    resource === undefined ? '' : `"resource":${resource},`,
    `"response":${answer}}`,
  ].join('')
}

export const responseBundle = (type: 'transaction' | 'batch', entries: readonly string[]): string =>
  // FHIR knows no empty lists.
  `{"resourceType":"Bundle","type":"${type}-response"${entries.length === 0 ? '' : `,"entry":[${entries.join(',')}]`}}`
