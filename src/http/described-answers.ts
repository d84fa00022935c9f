/** The headers of answers that a caller may need, each said once. */
export const ANSWER_HEADERS = {
  'X-Request-Id': header('The name of the request: the one that was sent, or ours.'),
  ETag: header('The version that is kept, W/"3", or a mark of what is published.'),
  'Last-Modified': header('When that version came in, an HTTP date.'),
  Location: header('Where it is: of a resource with the version that was written.'),
  'Content-Location': header('Where the answer is to be asked for.'),
  'Retry-After': header('With 429, 503 and what is not ready: after so many seconds.'),
  Allow: header('With 405: the methods that there are.'),
  'WWW-Authenticate': header('With 401: Bearer.'),
  'X-Progress': header('What is waited for.'),
  Expires: header('Until when it can be fetched, an HTTP date.'),
  'Idempotent-Replayed': header('true where this answer was given before under the same key.'),
  'Content-Language': header('Of the sentences.'),
} as const

function header(description: string) {
  return { description, schema: { type: 'string' as const } }
}

export type AnswerHeader = keyof typeof ANSWER_HEADERS
/** By status, beside what every answer has. */
export type AnswerHeaders = Readonly<Record<number, readonly AnswerHeader[]>>

const VERSION = ['ETag', 'Last-Modified'] as const
/** Of what is read in its version. */
export const READ_HEADERS: AnswerHeaders = { 200: VERSION, 304: VERSION }
/** Of what was written; where it is, is said with a create and an update (R4 3.1.0.4, 3.1.0.8). */
export const WRITTEN_HEADERS: AnswerHeaders = {
  200: [...VERSION, 'Location'],
  201: [...VERSION, 'Location'],
}
/** Of what is written once, however often it is sent under one key. */
export const CREATED_HEADERS: AnswerHeaders = {
  200: [...VERSION, 'Location', 'Idempotent-Replayed'],
  201: [...VERSION, 'Location', 'Idempotent-Replayed'],
}
export const PATCHED_HEADERS: AnswerHeaders = { 200: VERSION }

const ALWAYS = ['X-Request-Id'] as const
/** Of refusals, which are described once for all statuses. */
export const REFUSAL_HEADERS = headersOf([...ALWAYS, 'Retry-After', 'Allow', 'WWW-Authenticate'])

function headersOf(names: readonly AnswerHeader[]) {
  return Object.fromEntries(names.map((name) => [name, { $ref: `#/components/headers/${name}` }]))
}

type Responses = Readonly<Record<string, object | undefined>>

/** The answers of an operation with their headers; what refers to an answer has those of that one. */
export const withHeaders = (responses: Responses, answers: AnswerHeaders = {}): Responses =>
  Object.fromEntries<object | undefined>(
    Object.entries(responses).map(([status, response]) =>
      response === undefined || '$ref' in response
        ? [status, response]
        : [
            status,
            { ...response, headers: headersOf([...ALWAYS, ...(answers[Number(status)] ?? [])]) },
          ],
    ),
  )
