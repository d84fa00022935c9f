import { AppError } from '../errors.ts'
import type { Caller } from '../security/access-token.ts'
import { exportCounts } from '../storage/export-files.ts'
import type { FoundExport } from '../storage/exports.ts'
import type { Context } from './context.ts'
import { type Export, exportOf, mayHave, scopeOf } from './export.ts'
import { readFilters } from './export-filters.ts'
import { unitOfWork } from './unit-of-work.ts'

/**
 * A write takes its time some while before its rows can be seen. The files are offered once all that took a
 * time before the export's is seen: else it would be in neither this export nor the next one since.
 */
const SETTLING_MS = 2_000
/** What a unit of work can take is limited; whoever is still at it by then is none of ours. */
const LONGEST_WRITE_MS = 120_000

export type ExportStatus =
  | { readonly isReady: false; readonly waitS: number }
  | { readonly isReady: true; readonly body: string; readonly expiresAt: string }

/** How an export stands, with its manifest (Bulk Data Access, STU 2) as JSON. */
export function exportStatus(
  context: Context,
  caller: Caller,
  exportId: string,
): Promise<ExportStatus> {
  return unitOfWork(context, caller, [], async (tx) => {
    const found = await exportOf(tx, context, caller, exportId)
    const waitMs = timeToSettle(context, found.kept)
    if (waitMs > 0) return { isReady: false, waitS: Math.ceil(waitMs / 1_000) }
    const types = found.asked.types.filter((type) => mayHave(caller, type))
    const counts = await exportCounts(tx, await scopeOf(tx, context, caller, found), types)
    const body = JSON.stringify(manifestOf(context, found, counts))
    return { isReady: true, body, expiresAt: found.kept.expiresAt }
  })
}

/** Throws where the manifest names no such file, or not yet. */
export async function requireFile(
  context: Context,
  caller: Caller,
  { exportId, name }: { readonly exportId: string; readonly name: string },
): Promise<void> {
  const status = await exportStatus(context, caller, exportId)
  if (!status.isReady || !status.body.includes(`/${exportId}/${name}.ndjson"`))
    throw new AppError('not-found', 'There is no such file.')
}

function timeToSettle({ now }: Context, { at, isSettled }: FoundExport): number {
  const passedMs = now().getTime() - Date.parse(at)
  if (passedMs < SETTLING_MS) return SETTLING_MS - passedMs
  return isSettled || passedMs >= LONGEST_WRITE_MS ? 0 : SETTLING_MS
}

function manifestOf(
  context: Context,
  { kept, asked }: Export,
  counts: Awaited<ReturnType<typeof exportCounts>>,
): object {
  const filtered = new Set(readFilters(context, asked).map(({ type }) => type))
  const file = (name: string) => `${context.baseUrl}/$export-file/${kept.exportId}/${name}.ndjson`
  return {
    transactionTime: kept.at,
    request: asked.url,
    requiresAccessToken: true,
    output: counts
      .filter(({ count }) => count !== 0)
      .map(({ type, count }) => ({
        type,
        url: file(type),
        // How many pass a filter is known when they are read.
        ...(filtered.has(type) || count === undefined ? {} : { count }),
      })),
    deleted: counts.some(({ deleted }) => deleted)
      ? [{ type: 'Bundle', url: file('deleted') }]
      : [],
    error: asked.ignored.length > 0 ? [{ type: 'OperationOutcome', url: file('outcome') }] : [],
  }
}
