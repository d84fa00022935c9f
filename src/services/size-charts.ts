import type { SizeChart } from '../domain/device/sizing.ts'
import { AppError } from '../errors.ts'
import { SYSTEMS } from '../fhir/codes.ts'
import { parseText } from '../fhir/json-body.ts'
import type { DeviceDefinition } from '../fhir/r4/types.ts'
import { sizeChartLine } from '../fhir/size-chart-entries.ts'
import { readSizeChart } from '../fhir/size-chart-reading.ts'
import type { WriteOperation } from '../fhir/operations.ts'
import { serialise } from '../storage/idempotency.ts'
import { namedSizeChart, newestSizeChart, type StoredSizeChart } from '../storage/size-charts.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'

/**
 * Refuses a size chart whose version is kept already: what a result names must stay what it was. Charts
 * of a clinic wait for each other, so that one version is never taken twice.
 */
export async function refuseRepeatedChart(
  tx: Tx,
  clinicId: string,
  operations: readonly WriteOperation[],
): Promise<void> {
  const line = sizeChartLine(operations.filter((one) => one.kind === 'create'))
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

/** The chart that a clinic sent last, by a moment when one is given; the generic one where there is none. */
export async function chartInForce(
  tx: Tx,
  { chart, readChart }: Context,
  clinicId: string,
  knownAt?: string,
): Promise<SizeChart> {
  const stored = await newestSizeChart(tx, clinicId, knownAt)
  return stored === undefined ? chart : readChart(textOf(stored))
}

/** The chart of a clinic that is asked for, `id|version`, in force or not; the generic one is every clinic's. */
export async function askedChart(
  tx: Tx,
  { chart, readChart }: Context,
  clinicId: string,
  asked: string,
): Promise<SizeChart> {
  if (asked === `${chart.id}|${chart.version}`) return chart
  const [, id, version] = /^([A-Za-z0-9.-]{1,64})\|([A-Za-z0-9.-]{1,64})$/.exec(asked) ?? []
  if (id === undefined || version === undefined)
    throw refused('value', 'A size chart is asked for as id|version.')
  const stored = await namedSizeChart(tx, clinicId, { system: SYSTEMS.sizeChart, id, version })
  if (stored === undefined) throw refused('not-found', 'This clinic has no such size chart.')
  return readChart(textOf(stored))
}

const refused = (code: string, text: string): AppError =>
  new AppError('invalid-request', text, [
    { severity: 'error', code, expression: 'http.chart', rule: 'operation-parameter', text },
  ])

const textOf = ({ line, sizes }: StoredSizeChart): string => `[${[line, ...sizes].join(',')}]`

/**
 * A stored chart, the line first and then its sizes. Its numbers were checked when it came in, by the
 * rules of that day, and are not refused later.
 */
export function readStoredChart(text: string): SizeChart {
  const parsed = parseText(text)
  if (!parsed.ok) throw new Error('A stored size chart is not JSON')
  const [line, ...sizes] = (parsed.value as DeviceDefinition[]).map((resource) => ({
    at: resource.resourceType,
    resource,
  }))
  if (line === undefined) throw new Error('A stored size chart has no line')
  return readSizeChart(line, sizes).chart
}
