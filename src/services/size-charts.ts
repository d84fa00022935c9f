import type { SizeChart } from '../domain/device/sizing.ts'
import { AppError } from '../errors.ts'
import { SYSTEMS } from '../fhir/codes.ts'
import { parseText } from '../fhir/json-body.ts'
import type { DeviceDefinition } from '../fhir/r4/types.ts'
import { sizeChartLine } from '../fhir/size-chart-entries.ts'
import { readSizeChart } from '../fhir/size-chart-reading.ts'
import type { CreateEntry } from '../fhir/transaction-entries.ts'
import { serialise } from '../storage/idempotency.ts'
import { namedSizeChart, newestSizeChart, type StoredSizeChart } from '../storage/size-charts.ts'
import type { Tx } from '../storage/transaction.ts'

/**
 * Refuses a size chart whose version is kept already: what a result names must stay what it was. Charts
 * of a clinic wait for each other, so that one version is never taken twice.
 */
export async function refuseRepeatedChart(
  tx: Tx,
  clinicId: string,
  entries: readonly CreateEntry[],
): Promise<void> {
  const line = sizeChartLine(entries)
  if (line === undefined) return
  await serialise(tx, [`size-chart ${clinicId}`])
  const { chart } = readSizeChart({ at: line.resourceAt, resource: line.resource }, [])
  const { id, version } = chart
  if (
    (await namedSizeChart(tx, clinicId, { system: SYSTEMS.sizeChart, id, version })) === undefined
  )
    return
  throw new AppError('conflict', 'This version of the size chart is kept already.', [
    {
      severity: 'error',
      code: 'duplicate',
      expression: `${line.resourceAt}.version[0]`,
      rule: 'size-chart-line.version',
      text: `Version ${version} of the chart ${id} is kept and stays as it is. Send the sizes under a new version, also to go back to earlier ones.`,
    },
  ])
}

/** The chart that a clinic sent last; undefined when it has sent none. */
export async function newestChartOf(tx: Tx, clinicId: string): Promise<SizeChart | undefined> {
  const stored = await newestSizeChart(tx, clinicId)
  return stored === undefined ? undefined : chartOf(stored)
}

/** What left the database was validated when it came in. */
function chartOf({ line, sizes }: StoredSizeChart): SizeChart {
  return readSizeChart(standing(line), sizes.map(standing)).chart
}

function standing(body: string) {
  const parsed = parseText(body)
  if (!parsed.ok) throw new Error('A stored resource is not JSON')
  return { at: 'DeviceDefinition', resource: parsed.value as DeviceDefinition }
}
