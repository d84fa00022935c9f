import { type AskedParameter, TEXT } from '../fhir/asked-parameter.ts'
import { PURPOSES } from './audited-calls.ts'

// The headers of a request that are read, but for those that OpenAPI leaves to its other parts: Accept,
// Authorization and Content-Type (OpenAPI 3.1, 4.8.12.1).

const header = (name: string, description: string): AskedParameter => ({
  name,
  description,
  value: TEXT,
})

/** Of every request. */
export const REQUEST_ID = header(
  'X-Request-Id',
  'The name of the request: up to 64 letters, digits, dots, dashes and underscores. It comes back in the answer; any other is replaced, and comes back as X-Correlation-Id.',
)

/** Of every request that somebody with a token sends. */
export const PURPOSE_OF_USE: AskedParameter = {
  name: 'Purpose-Of-Use',
  description:
    'Why it is asked, a code of v3-PurposeOfUse; it goes into the log. Any other is refused.',
  value: { type: 'string', enum: [...PURPOSES] },
}

export const HANDLING = header(
  'Prefer',
  'handling=strict: a search parameter that is not known is refused; handling=lenient, or nothing: it is left out, and not in the link self.',
)
export const RETURNING = header(
  'Prefer',
  'return=minimal, return=representation (as without it) or return=OperationOutcome: what is answered when it is done.',
)
export const BUNDLE_PREFERENCES = header(
  'Prefer',
  'return=minimal, representation or OperationOutcome for the entries that write, handling=strict or lenient for those that search.',
)
export const EXPORT_PREFERENCES = header(
  'Prefer',
  'respond-async, as without it: every export is asynchronous. handling=lenient: what is asked and not offered is left out and told in the manifest, not refused.',
)

export const IF_NONE_MATCH = header(
  'If-None-Match',
  'The ETag of what the caller has: 304 where it still holds.',
)
/** Of whatever is read with its version and its time. */
export const UNLESS_KNOWN: readonly AskedParameter[] = [
  IF_NONE_MATCH,
  header(
    'If-Modified-Since',
    'An HTTP date: 304 where nothing came since. If-None-Match goes before it.',
  ),
]

export const IF_MATCH = header(
  'If-Match',
  'The ETag of the version that is meant, W/"3", or several of which one is, or * for any that there is: else 412.',
)
export const IF_NEW = header(
  'If-None-Match',
  '*: 412 where there is such a resource already; ETags: where its version has one of them.',
)
export const IF_NONE_EXIST = header(
  'If-None-Exist',
  'A search, without ?: created is only where it finds nothing; where it finds one, that is answered.',
)
export const IDEMPOTENCY_KEY: AskedParameter = {
  name: 'Idempotency-Key',
  description:
    'Up to 255 printable characters. The same body under the same key is done once, and answered again with Idempotent-Replayed.',
  value: { type: 'string', pattern: '^[\\x20-\\x7e]{1,255}$' },
}
export const SECURITY_CONTEXT = header(
  'X-Security-Context',
  'Where the body is content: the securityContext of its Binary, a reference.',
)
export const ACCEPT_LANGUAGE = header('Accept-Language', 'Of the sentences: en or es.')
