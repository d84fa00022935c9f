import { REFUSAL_HEADERS } from './described-answers.ts'

const NAME = 'OperationOutcome'
/** Every refusal, said once. */
export const REFUSALS = {
  [NAME]: {
    description: NAME,
    headers: REFUSAL_HEADERS,
    content: { 'application/fhir+json': { schema: { description: NAME } } },
  },
}
const OUTCOME = { $ref: `#/components/responses/${NAME}` }

/** What any route may answer: the caller asks too much, or the service has too much to do. */
const ALWAYS = [429, 503]
const NO_SUCH_FORM = 406
const OF_A_BODY = [413, 415]
/** No token, or one that does not allow it. */
const OF_A_CALLER = [401, 403]
/** A purpose of use that there is not. */
const OF_A_PURPOSE = 400

type Responses = Readonly<Record<string, object | undefined>>
type Answer = readonly [status: string, response: object | undefined]

/** Which operation answers. */
export interface Answering {
  readonly method: string
  readonly tags: readonly string[]
  /** Is it open to everybody? */
  readonly isOpen: boolean
}

/**
 * The answers of an operation with what every route refuses alike; a refusal is FHIR in JSON, whatever else the
 * route answers in.
 */
export function withRefusals(responses: Responses, operation: Answering): Responses {
  const own = Object.entries(responses).map(
    ([status, response]): Answer => [status, isOutcome(response) ? OUTCOME : response],
  )
  const isNever = ([status, response]: Answer) =>
    operation.isOpen && response === OUTCOME && OF_A_CALLER.includes(Number(status))
  const alike = refusedBy(operation).map((status): Answer => [String(status), OUTCOME])
  return Object.fromEntries<object | undefined>([...alike, ...own.filter((one) => !isNever(one))])
}

const isOutcome = (response: object | undefined): boolean =>
  response !== undefined && 'description' in response && response.description === NAME

/** What watches the process is never refused. */
function refusedBy({ method, tags, isOpen }: Answering): readonly number[] {
  if (tags.includes('System')) return []
  return [
    ...ALWAYS,
    ...(isOpen ? [] : [OF_A_PURPOSE]),
    ...(tags.includes('FHIR') || tags.includes('Administration') ? [NO_SUCH_FORM] : []),
    ...(['post', 'put', 'patch'].includes(method) ? OF_A_BODY : []),
  ]
}
