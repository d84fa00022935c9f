import { z } from 'zod'
import { AppError } from '../errors.ts'
import type { Parameters, ParametersParameter } from '../fhir/r4/types.ts'
import type { Caller } from '../security/access-token.ts'
import {
  type DayOfUse,
  daysOfUse,
  unreviewedEmergencies,
  withoutReferral,
} from '../storage/audit-questions.ts'
import type { Tx } from '../storage/transaction.ts'
import { type Period, periodOf, refusePartners } from './audit-period.ts'
import { recordOf } from './call-record.ts'
import type { Context } from './context.ts'
import { ofWholeLog, refuseMissing } from './unit-of-work.ts'

/** So many rows are answered; what is more is said, and asked for in parts. */
const MOST_ROWS = 1_000

/** Above these a day is unusual unless the caller sets others: a judgement, no source. */
const USUAL = { calls: 500, children: 50, refused: 20, atNight: 50 } as const

export interface Limits {
  readonly calls?: number | undefined
  readonly children?: number | undefined
  readonly refused?: number | undefined
  readonly atNight?: number | undefined
}

const NEEDS = [
  { type: 'AuditEvent', letter: 'r' },
  { type: 'AuditEvent', letter: 's' },
] as const

type Named = readonly (readonly [name: string, value: string | number | null])[]

/** Days on which a system made more calls, or of more children, refused or by night, than is usual. */
export const unusualUse = (
  context: Context,
  caller: Caller,
  { period, limits }: { readonly period: Period; readonly limits: Limits },
): Promise<Parameters> =>
  rowsOf(context, caller, period, async (tx, within) => {
    const days = await daysOfUse(tx, within)
    return days.flatMap((day): Named[] => {
      const over = overOf(day, limits)
      if (over.length === 0) return []
      const { client, calls, children, refused, atNight } = day
      return [
        [
          ['system', client],
          ['day', day.day],
          ['calls', calls],
          ['children', children],
          ['refused', refused],
          ['atNight', atNight],
          ['over', over.join(', ')],
        ],
      ]
    })
  })

const overOf = (day: DayOfUse, limits: Limits): string[] =>
  (['calls', 'children', 'refused', 'atNight'] as const).filter(
    (name) => day[name] > (limits[name] ?? USUAL[name]),
  )

/** What staff saw or changed of children of whom no referral was open. */
export const unrelatedAccess = (
  context: Context,
  caller: Caller,
  { period }: { readonly period: Period },
): Promise<Parameters> =>
  rowsOf(context, caller, period, async (tx, within) =>
    (await withoutReferral(tx, within, MOST_ROWS)).map((row) => [
      ['event', `AuditEvent/${row.event}`],
      ['recorded', row.recorded],
      ['system', row.client],
      ['child', `Patient/${row.child}`],
      ['purpose', row.purpose],
    ]),
  )

/** Emergency accesses that nobody has reviewed. */
export const awaitingReview = (
  context: Context,
  caller: Caller,
  { period }: { readonly period: Period },
): Promise<Parameters> =>
  rowsOf(context, caller, period, async (tx, within) =>
    (await unreviewedEmergencies(tx, within, MOST_ROWS)).map((row) => [
      ['event', `AuditEvent/${row.event}`],
      ['recorded', row.recorded],
      ['system', row.client],
    ]),
  )

function rowsOf(
  context: Context,
  caller: Caller,
  period: Period,
  find: (
    tx: Tx,
    within: { readonly clinicId: string; readonly from: string; readonly to: string },
  ) => Promise<readonly Named[]>,
): Promise<Parameters> {
  refusePartners(caller)
  return ofWholeLog(context, caller, NEEDS, async (tx) => {
    const { clinicId } = caller
    const rows = await find(tx, { clinicId, from: period.start, to: period.end })
    return {
      resourceType: 'Parameters',
      parameter: [
        { name: 'period', valuePeriod: period },
        { name: 'count', valueInteger: rows.length },
        { name: 'complete', valueBoolean: rows.length < MOST_ROWS },
        ...rows.map((row) => ({ name: 'row', part: row.flatMap(partOf) })),
      ],
    }
  })
}

const partOf = ([name, value]: Named[number]): ParametersParameter[] =>
  value === null
    ? []
    : [typeof value === 'number' ? { name, valueInteger: value } : { name, valueString: value }]

const Review = z.object({
  start: z.string(),
  end: z.string(),
  result: z.enum(['no-finding', 'finding']),
  events: z.array(z.string().regex(/^AuditEvent\/[0-9a-f-]{36}$/)).max(MOST_ROWS),
})
export type Review = z.infer<typeof Review>

/** Records that a period of the log, or some events of it, was reviewed, by whom and with what result. */
export async function recordReview(
  context: Context,
  caller: Caller,
  sent: unknown,
): Promise<Parameters> {
  refusePartners(caller)
  const read = Review.safeParse(sent)
  if (!read.success)
    throw new AppError('invalid-request', 'The review cannot be recorded.', [
      {
        severity: 'error',
        code: 'value',
        expression: 'Parameters.parameter',
        rule: 'audit-review',
        text: 'A review has start and end, a result (no-finding or finding), and may name events, AuditEvent/[id].',
      },
    ])
  const { start, end, result, events } = read.data
  const period = periodOf({ start, end }, { now: context.now(), days: 0 })
  refuseMissing(caller, NEEDS)
  const about = events.map((ref) => ({ ref, did: 'read' }) as const)
  await context.audit.record(caller.clinicId, {
    ...recordOf(caller, { outcome: 0 }),
    kind: 'review',
    interaction: 'review',
    action: 'E',
    about,
    period,
    reason: result,
  })
  return {
    resourceType: 'Parameters',
    parameter: [
      { name: 'period', valuePeriod: period },
      { name: 'result', valueCode: result },
      { name: 'events', valueInteger: events.length },
    ],
  }
}
