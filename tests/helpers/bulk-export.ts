import { setTimeout as delay } from 'node:timers/promises'
import { z } from 'zod'

/** What a client must tell of an answer of Bulk Data Access, whatever library it asks with. */
export interface BulkAnswer {
  readonly status: number
  readonly headers: { readonly get: (name: string) => string | null }
  readonly body: unknown
}

const Manifest = z.object({
  requiresAccessToken: z.literal(true),
  output: z.array(z.object({ type: z.string(), url: z.url(), count: z.number() })),
})
type Manifest = z.infer<typeof Manifest>

/** Kicks an export off and asks for its state, as often as it is told to, until the manifest is there. */
export async function exported(
  path: string,
  ask: (url: string, headers?: Record<string, string>) => Promise<BulkAnswer>,
): Promise<Manifest> {
  const started = await ask(path, { accept: 'application/fhir+json', prefer: 'respond-async' })
  const status = z.url().parse(started.headers.get('content-location'))
  for (;;) {
    const answer = await ask(status, { accept: 'application/json' })
    if (answer.status === 200) return Manifest.parse(answer.body)
    if (answer.status !== 202) throw new Error(`The export was answered with ${answer.status}`)
    await delay(1_000 * Number(answer.headers.get('retry-after') ?? 1))
  }
}

const Line = z.looseObject({ resourceType: z.string(), id: z.string() })

/** The resources of a file of an export, one a line. */
export const linesOf = (text: string): z.infer<typeof Line>[] =>
  text
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => Line.parse(JSON.parse(line)))
