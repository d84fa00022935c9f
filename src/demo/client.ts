import { z } from 'zod'

/** Calls the service as any partner's system would: over HTTP, with a bearer token. */
export interface FhirClient {
  /** The resource at a path below the FHIR base. */
  readonly get: (path: string) => Promise<unknown>
  readonly post: (
    path: string,
    body: unknown,
    headers?: Readonly<Record<string, string>>,
  ) => Promise<{ readonly body: unknown; readonly headers: Headers }>
}

const Outcome = z.object({
  issue: z.array(
    z.object({
      details: z.object({ text: z.string() }).optional(),
      expression: z.array(z.string()).optional(),
    }),
  ),
})

export function fhirClient(base: string, token: string): FhirClient {
  const call = async (
    method: string,
    path: string,
    rest: Pick<RequestInit, 'body' | 'headers'>,
  ) => {
    const response = await fetch(`${base}${path}`, { method, ...rest })
    const text = await response.text()
    if (!response.ok) throw new Error(refusal(`${method} ${path}`, response.status, text))
    const body: unknown = JSON.parse(text)
    return { body, headers: response.headers }
  }
  const common = { authorization: `Bearer ${token}`, accept: 'application/fhir+json' }
  return {
    get: async (path) => (await call('GET', path, { headers: common })).body,
    post: (path, body, headers = {}) =>
      call('POST', path, {
        body: JSON.stringify(body),
        headers: { ...common, 'content-type': 'application/fhir+json', ...headers },
      }),
  }
}

/** What was refused and why, from the OperationOutcome. */
function refusal(call: string, status: number, text: string): string {
  const outcome = Outcome.safeParse(parsed(text))
  const why = outcome.success
    ? outcome.data.issue.map(({ details, expression = [] }) =>
        [details?.text ?? 'no reason given', ...expression].join(' at '),
      )
    : ['no OperationOutcome came with it']
  return [`${call} was answered with ${status}.`, ...why].join('\n')
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}
