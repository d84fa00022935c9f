import { createHash } from 'node:crypto'
import { capabilityStatement } from '../fhir/capability.ts'
import { type Context, softwareOf } from './context.ts'

/** What this instance says that it can do, the same for everybody. */
export interface Capabilities {
  readonly statement: ReturnType<typeof capabilityStatement>
  readonly text: string
  /** Another one when the content is another. */
  readonly etag: string
}

const BY_CONTEXT = new WeakMap<Context, Capabilities>()

/** The CapabilityStatement, made once for a process. */
export function capabilities(context: Context): Capabilities {
  const known = BY_CONTEXT.get(context)
  if (known !== undefined) return known
  const { name, version } = softwareOf(context)
  const { baseUrl, cors } = context
  const statement = capabilityStatement({ name, version, baseUrl, cors })
  const text = JSON.stringify(statement)
  const etag = `W/"${createHash('sha256').update(text).digest('hex').slice(0, 16)}"`
  const made = { statement, text, etag }
  BY_CONTEXT.set(context, made)
  return made
}
