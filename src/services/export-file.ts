import { pipeline, Readable } from 'node:stream'
import { AppError } from '../errors.ts'
import type { Caller } from '../security/access-token.ts'
import { copyOfDeleted, copyOfType, copySettings } from '../storage/export-files.ts'
import type { Context } from './context.ts'
import { exportOf, mayHave, needsOf, scopeOf } from './export.ts'
import { readFilters } from './export-filters.ts'
import { matchingLines } from './matching-lines.ts'
import { sightOf } from './sight.ts'
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
  const queries = readFilters(context, asked)
    .filter(({ type }) => type === name)
    .map(({ query }) => query)
  // What the token allows now counts, not what it allowed when the export was asked for.
  const allowed = asked.types.filter((type) => mayHave(caller, type))
  const types = !isDeleted ? [name] : allowed.length > 0 ? allowed : asked.types
  await unitOfWork(context, caller, types.flatMap(needsOf), () => Promise.resolve())
  const stream = await context.copies.copy(sightOf(caller), {
    text: isDeleted ? copyOfDeleted(scope, types) : copyOfType(scope, name),
    settings: { ...copySettings(scope), 'app.now': context.now().toISOString() },
  })
  if (stream === undefined)
    throw new AppError('throttled', 'Other files are being read. Try again in a while.')
  if (queries.length === 0) return stream
  // Either ends with the other; whoever reads hears of a failure by the stream that is read.
  return pipeline(stream, matchingLines(queries, { ...context, type: name }), () => {})
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
