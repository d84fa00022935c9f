import { z } from 'zod'
import { AppError } from '../errors.ts'
import { exportRequest, type ExportLevel, isExported } from '../fhir/export-request.ts'
import type { Handling } from '../fhir/query-reading.ts'
import { REGISTRY, rowOf } from '../fhir/registry.ts'
import type { Caller } from '../security/access-token.ts'
import { allows } from '../security/scopes.ts'
import type { ExportScope } from '../storage/export-files.ts'
import { deleteExport, type FoundExport, insertExport, readExport } from '../storage/exports.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { patientsOfGroup } from './export-patients.ts'
import { readFilters } from './export-filters.ts'
import { refuseAmbiguity } from './search-ambiguity.ts'
import { type Need, ofWholeLog, unitOfWork } from './unit-of-work.ts'

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
  readonly kept: FoundExport
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
export const mayHave = ({ scopes }: Caller, type: string): boolean =>
  needsOf(type).every(({ letter }) => allows(scopes, type, letter))

export const needsOf = (type: string): Need[] => [
  { type, letter: 'r' },
  { type, letter: 's' },
]

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
          (type) =>
            isExported(level, type) && rowOf(type)?.byNameOnly !== true && mayHave(caller, type),
        )
  if (types.length === 0) throw new AppError('scope-missing', 'The token allows no export.')
  const group: Need[] = groupId === undefined ? [] : [{ type: 'Group', letter: 'r' }]
  const narrowing = readFilters(context, { types, filters })
  const inWork = types.includes('AuditEvent') ? ofWholeLog : unitOfWork
  return inWork(context, caller, [...types.flatMap(needsOf), ...group], async (tx) => {
    const exportId = context.newId()
    const at = context.now()
    for (const { query } of narrowing) await refuseAmbiguity(tx, caller, query, 'http._typeFilter')
    if (groupId !== undefined)
      await patientsOfGroup(tx, context, caller, { groupId, at: at.toISOString() })
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
        : await patientsOfGroup(tx, context, caller, { groupId, at: kept.at })
  return { clinicId: caller.clinicId, at: kept.at, since, patients }
}

/** Ends an export: its files are to be had no more. */
export function endExport(context: Context, caller: Caller, exportId: string): Promise<void> {
  return unitOfWork(context, caller, [], async (tx) => {
    await exportOf(tx, context, caller, exportId)
    await deleteExport(tx, caller.clinicId, exportId)
  })
}
