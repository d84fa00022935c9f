import { Readable } from 'node:stream'
import { AppError } from '../errors.ts'
import { matches } from '../fhir/matches.ts'
import type { Query } from '../fhir/query.ts'
import { parseText } from '../fhir/json-body.ts'
import type { AnyResource } from '../fhir/r4/types.ts'
import { searchValues } from '../fhir/search-values.ts'
import type { Caller } from '../security/access-token.ts'
import { copyOfDeleted, copyOfType, copySettings } from '../storage/export-files.ts'
import type { Context } from './context.ts'
import { exportOf, scopeOf } from './export.ts'
import { readFilters } from './export-filters.ts'
import { unitOfWork } from './unit-of-work.ts'

/**
 * One file of an export, a resource a line, read from the database as fast as the caller takes it: the
 * resources of a type, `deleted`, or `outcome`. Destroy the stream to end it early.
 */
export async function exportFile(
  context: Context,
  caller: Caller,
  { exportId, name }: { readonly exportId: string; readonly name: string },
): Promise<Readable> {
  const found = await unitOfWork(context, caller, [], async (tx) => {
    const one = await exportOf(tx, context, caller, exportId)
    return { ...one, scope: await scopeOf(tx, context, caller, one) }
  })
  const { asked, scope } = found
  if (name === 'outcome' && asked.ignored.length > 0) return Readable.from(outcomes(asked.ignored))
  const isDeleted = name === 'deleted' && asked.since !== undefined
  if (!isDeleted && !asked.types.includes(name))
    throw new AppError('not-found', 'There is no such file.')
  const types = isDeleted ? asked.types : [name]
  // What the token allows now counts, not what it allowed when the export was asked for.
  await unitOfWork(
    context,
    caller,
    types.flatMap((type) => [
      { type, letter: 'r' as const },
      { type, letter: 's' as const },
    ]),
    () => Promise.resolve(),
  )
  const stream = await context.copies.copy(caller, {
    text: isDeleted ? copyOfDeleted(scope) : copyOfType(scope),
    settings: copySettings(scope, types.join(',')),
  })
  if (stream === undefined)
    throw new AppError('throttled', 'Other files are being read. Try again in a while.')
  const filters = readFilters(context, asked).filter(({ type }) => type === name)
  if (filters.length === 0) return stream
  return Readable.from(
    narrowed(
      stream,
      context,
      name,
      filters.map(({ query }) => query),
    ),
    {
      objectMode: false,
    },
  )
}

/** The lines that one of the filters finds. */
async function* narrowed(
  stream: Readable,
  { baseUrl }: Context,
  type: string,
  queries: readonly Query[],
): AsyncGenerator<string> {
  for await (const line of linesOf(stream)) {
    const parsed = parseText(line)
    if (!parsed.ok) throw new Error('A stored resource is not JSON')
    const resource = parsed.value as AnyResource
    const id = resource.id ?? ''
    const values = searchValues({ type, id, baseUrl }, resource)
    const updatedAt = resource.meta?.lastUpdated ?? ''
    if (queries.some((query) => matches(query, { type, id, updatedAt, values }))) yield `${line}\n`
  }
}

const NEWLINE = 0x0a

/** Each line of a stream; the bytes are split before they are read, since JSON may hold other separators. */
async function* linesOf(stream: Readable): AsyncGenerator<string> {
  let rest = Buffer.alloc(0)
  for await (const chunk of stream) {
    let data: Buffer = Buffer.concat([rest, chunk as Buffer])
    for (let end = data.indexOf(NEWLINE); end >= 0; end = data.indexOf(NEWLINE)) {
      yield data.subarray(0, end).toString('utf8')
      data = data.subarray(end + 1)
    }
    rest = Buffer.from(data)
  }
  if (rest.length > 0) yield rest.toString('utf8')
}

const outcomes = (ignored: readonly string[]): string[] =>
  ignored.map(
    (name) =>
      `${JSON.stringify({
        resourceType: 'OperationOutcome',
        issue: [
          {
            severity: 'warning',
            code: 'not-supported',
            details: {
              text: `Left out of this export, because it is not offered: ${name.slice(0, 100)}`,
            },
          },
        ],
      })}\n`,
  )
