import { Transform } from 'node:stream'
import { parseText } from '../fhir/json-body.ts'
import { matches } from '../fhir/matches.ts'
import type { Query } from '../fhir/query.ts'
import type { AnyResource } from '../fhir/r4/types.ts'
import { searchValues } from '../fhir/search-values.ts'

const NEWLINE = 0x0a

/** Of resources of a type, one a line, passes on the lines that one of the searches finds. */
export function matchingLines(
  queries: readonly Query[],
  { baseUrl, type }: { readonly baseUrl: string; readonly type: string },
): Transform {
  const isFound = (line: string): boolean => {
    const parsed = parseText(line)
    if (!parsed.ok) throw new Error('A stored resource is not JSON')
    const resource = parsed.value as AnyResource
    const id = resource.id ?? ''
    const values = searchValues({ type, id, baseUrl }, resource)
    const updatedAt = resource.meta?.lastUpdated ?? ''
    return queries.some((query) => matches(query, { type, id, updatedAt, values }))
  }
  let rest: Buffer = Buffer.alloc(0)
  return new Transform({
    transform(chunk: Buffer, _encoding, done) {
      try {
        // The bytes are split before they are read: JSON text may hold other line separators.
        let data = rest.length === 0 ? chunk : Buffer.concat([rest, chunk])
        for (let end = data.indexOf(NEWLINE); end >= 0; end = data.indexOf(NEWLINE)) {
          if (isFound(data.toString('utf8', 0, end))) this.push(data.subarray(0, end + 1))
          data = data.subarray(end + 1)
        }
        rest = Buffer.from(data)
        done()
      } catch (error) {
        done(error instanceof Error ? error : new Error('A line cannot be read'))
      }
    },
  })
}
