import { z } from 'zod'
import { AppError } from '../errors.ts'
import { exportRequest, type ExportLevel, isExported } from '../fhir/export-request.ts'
import type { Handling } from '../fhir/query-reading.ts'
import { REGISTRY } from '../fhir/registry.ts'
import type { Caller } from '../security/access-token.ts'
import { allows } from '../security/scopes.ts'
import { exportCounts, type ExportScope } from '../storage/export-files.ts'
import { deleteExport, insertExport, type KeptExport, readExport } from '../storage/exports.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { patientsOfGroup } from './export-patients.ts'
import { type ReadFilter, readFilters } from './export-filters.ts'
import { type Need, unitOfWork } from './unit-of-work.ts'

/** How long the files of an export can be fetched. */
const LIFETIME_MS = 24 * 3_600_000

const Kept = z.object({
  level: z.enum(['system', 'patient', 'group']),
  groupId: z.string().optional(),
  url: z.string(),
  types: z.array(z.string()),
  since: z.string().optional(),
  filters: z.array(z.string()),
  ignored: z.array(z.string()),
})
type Kept = z.infer<typeof Kept>

/** An export as it is kept, read. */
export interface Export {
  readonly kept: KeptExport
  readonly asked: Kept
}

export interface KickOff {
  readonly level: ExportLevel
  readonly groupId: string | undefined
  /** As it was asked, for the manifest. */
  readonly url: string
  readonly parameters: readonly (readonly [string, string])[]
  readonly handling: Handling
}

/** Bulk data asks for reading and searching alike. */
const mayHave = ({ scopes }: Caller, type: string): boolean =>
  allows(scopes, type, 'r') && allows(scopes, type, 's')

/**
 * Takes a bulk export. Nothing is produced now: the files are read when they are fetched, as everything was
 * at this instant.
 *
 * @returns its id
 */
export function startExport(context: Context, caller: Caller, asked: KickOff): Promise<string> {
  const { level, groupId, url, parameters, handling } = asked
  const { types: wanted, since, filters, ignored } = exportRequest(level, parameters, handling)
  const types =
    wanted.length > 0
      ? wanted
      : REGISTRY.map(({ type }) => type as string).filter(
          (type) => isExported(level, type) && mayHave(caller, type),
        )
  const needs = types.flatMap((type): Need[] => [
    { type, letter: 'r' },
    { type, letter: 's' },
  ])
  const group: Need[] = groupId === undefined ? [] : [{ type: 'Group', letter: 'r' }]
  readFilters(context, { types, filters })
  return unitOfWork(context, caller, [...needs, ...group], async (tx) => {
    if (groupId !== undefined) await patientsOfGroup(tx, context, caller, groupId)
    const exportId = context.newId()
    const at = context.now()
    const request: Kept = {
      level,
      url,
      types: [...types],
      filters: [...filters],
      ignored: [...ignored],
      ...(groupId === undefined ? {} : { groupId }),
      ...(since === undefined ? {} : { since }),
    }
    await insertExport(tx, caller.clinicId, {
      exportId,
      clientId: caller.clientId,
      partnerId: caller.partnerId,
      request: JSON.stringify(request),
      at: at.toISOString(),
      expiresAt: new Date(at.getTime() + LIFETIME_MS).toISOString(),
    })
    return exportId
  })
}

/** The export of this client; throws `not-found` for any other, and for one that is over. */
export async function exportOf(
  tx: Tx,
  { now }: Context,
  { clinicId, clientId }: Caller,
  exportId: string,
): Promise<Export> {
  const kept = await readExport(tx, { clinicId, clientId, exportId, now: now().toISOString() })
  if (kept === undefined) throw new AppError('not-found', 'There is no such export, or no more.')
  return { kept, asked: Kept.parse(JSON.parse(kept.request)) }
}

/** What an export is about. */
export async function scopeOf(
  tx: Tx,
  context: Context,
  caller: Caller,
  { kept, asked }: Export,
): Promise<ExportScope> {
  const { level, groupId, since } = asked
  const patients =
    level === 'system'
      ? undefined
      : groupId === undefined
        ? 'all'
        : await patientsOfGroup(tx, context, caller, groupId)
  return { clinicId: caller.clinicId, at: kept.at, since, patients }
}

/** The manifest of an export (Bulk Data Access, STU 2). @returns JSON, and when it expires */
export function exportManifest(
  context: Context,
  caller: Caller,
  exportId: string,
): Promise<{ readonly body: string; readonly expiresAt: string }> {
  return unitOfWork(context, caller, [], async (tx) => {
    const found = await exportOf(tx, context, caller, exportId)
    const { kept, asked } = found
    const types = asked.types.filter((type) => mayHave(caller, type))
    const counts = await exportCounts(tx, await scopeOf(tx, context, caller, found), types)
    const filtered = new Set(
      readFilters(context, asked).map(({ type }: ReadFilter): string => type),
    )
    const file = (name: string) => `${context.baseUrl}/$export-file/${exportId}/${name}.ndjson`
    const manifest = {
      transactionTime: kept.at,
      request: asked.url,
      requiresAccessToken: true,
      output: counts
        .filter(({ count }) => count > 0)
        .map(({ type, count }) => ({
          type,
          url: file(type),
          // How many pass a filter is known when they are read.
          ...(filtered.has(type) ? {} : { count }),
        })),
      deleted:
        asked.since !== undefined && counts.some(({ deleted }) => deleted > 0)
          ? [{ type: 'Bundle', url: file('deleted') }]
          : [],
      error: asked.ignored.length > 0 ? [{ type: 'OperationOutcome', url: file('outcome') }] : [],
    }
    return { body: JSON.stringify(manifest), expiresAt: kept.expiresAt }
  })
}

/** Ends an export: its files are to be had no more. */
export function endExport(context: Context, caller: Caller, exportId: string): Promise<void> {
  return unitOfWork(context, caller, [], async (tx) => {
    await exportOf(tx, context, caller, exportId)
    await deleteExport(tx, caller.clinicId, exportId)
  })
}
