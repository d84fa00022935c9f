import type { CivilDate } from '../domain/calendar.ts'
import { AppError, type Fault } from '../errors.ts'
import {
  type CreateEntry,
  isBundle,
  profileFaultsBeside,
  transactionEntries,
} from '../fhir/transaction-entries.ts'
import { validateResource } from '../fhir/validate.ts'
import type { Caller } from '../security/access-token.ts'
import { insertVersions } from '../storage/resource-writes.ts'
import { refuseWithoutConsent, regimeOfSender } from './consent-gate.ts'
import type { Context } from './context.ts'
import { latestDay } from './day.ts'
import { triageOfIntake } from './intake-triage.ts'
import { type Answered, once } from './once.ts'
import { place, type Placed } from './placement.ts'
import { refuseNewRuleSets } from './rule-set-states.ts'
import { refuseRepeatedChart } from './size-charts.ts'
import { unitOfWork } from './unit-of-work.ts'

export interface TransactionRequest {
  readonly body: unknown
  /** SHA-256 of the bytes that were sent. */
  readonly bodyHash: string
  readonly idempotencyKey: string | undefined
  readonly returnRepresentation: boolean
}

/**
 * A transaction Bundle, all or nothing: referrals in it are triaged before it ends.
 *
 * @returns the response Bundle as JSON, entries in request order
 */
export function transaction(
  context: Context,
  caller: Caller,
  request: TransactionRequest,
): Promise<Answered> {
  const entries = checkedEntries(request.body, latestDay(context))
  const needs = entries.map(({ resource }) => ({
    type: resource.resourceType,
    letter: 'c' as const,
  }))
  return unitOfWork(context, caller, needs, (tx) =>
    once(tx, { context, caller, request }, async () => {
      await refuseRepeatedChart(tx, caller.clinicId, entries)
      const [placed, regime] = await Promise.all([
        place(tx, context, caller, entries),
        regimeOfSender(tx, caller),
      ])
      await refuseWithoutConsent(tx, context, caller, { regime, entries, placed })
      const written = placed.flatMap(({ written }) => written ?? [])
      const added = entries.filter((_entry, index) => placed[index]?.written !== undefined)
      await refuseNewRuleSets(tx, context, caller.clinicId, added)
      const derived = await triageOfIntake(tx, context, caller, written)
      const versions = [...written.map(({ stored }) => stored), ...derived]
      await insertVersions(tx, caller.clinicId, versions)
      return responseOf(context, placed, request.returnRepresentation)
    }),
  )
}

function checkedEntries(body: unknown, latestDay: CivilDate): readonly CreateEntry[] {
  if (!isBundle(body))
    throw new AppError('malformed-body', 'A Bundle of type transaction is needed.', [
      {
        severity: 'error',
        code: 'structure',
        expression: 'Bundle',
        rule: 'bundle',
        text: 'A Bundle of type transaction is needed here.',
      },
    ])
  const structure = validateResource(body)
  if (structure.length > 0)
    throw new AppError('malformed-body', 'The Bundle is not valid FHIR R4.', [
      ...structure,
      ...profileFaultsBeside(structure, body, latestDay),
    ])
  const { entries, faults } = transactionEntries(body, latestDay)
  const all = [...faults, ...repeatedUrls(entries)]
  if (all.length > 0) throw new AppError('invalid-resource', 'The Bundle cannot be taken.', all)
  return entries
}

function repeatedUrls(entries: readonly CreateEntry[]): Fault[] {
  const seen = new Set<string>()
  return entries.flatMap(({ at, ifNoneExist, resource }) => {
    if (ifNoneExist === undefined) return []
    const key = `${resource.resourceType} ${ifNoneExist.system}|${ifNoneExist.value}`
    if (!seen.has(key)) {
      seen.add(key)
      return []
    }
    const text = 'Two entries of a transaction must not be about the same resource.'
    return [
      { severity: 'error', code: 'duplicate', expression: at, rule: 'entry-repeated', text },
    ] as const
  })
}

function responseOf(
  { baseUrl }: Context,
  placed: readonly Placed[],
  withResources: boolean,
): string {
  const entries = placed.map(({ kept, written }) => {
    const url = `${baseUrl}/${kept.type}/${kept.id}`
    const response = JSON.stringify({
      status: written === undefined ? '200 OK' : '201 Created',
      location: `${url}/_history/${kept.version}`,
      etag: `W/"${kept.version}"`,
      lastModified: kept.updatedAt,
    })
    const resource = withResources ? `"resource":${kept.body},` : ''
    return `{"fullUrl":"${url}",${resource}"response":${response}}`
  })
  // FHIR knows no empty lists.
  const list = entries.length === 0 ? '' : `,"entry":[${entries.join(',')}]`
  return `{"resourceType":"Bundle","type":"transaction-response"${list}}`
}
