import { civilDate } from '../domain/calendar.ts'
import { EXCHANGE_CODES } from '../fhir/codes.ts'
import { isEnded } from '../fhir/from-domain.ts'
import { isReferral } from '../fhir/profiles.ts'
import { hasCode } from '../fhir/reading.ts'
import { isInput } from '../fhir/to-domain.ts'
import type { Caller } from '../security/access-token.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import { readRecord } from '../storage/resources.ts'
import { seeWholeClinic } from '../storage/scope.ts'
import type { Tx } from '../storage/transaction.ts'
import { type Basis, basisOf } from './basis.ts'
import type { Context } from './context.ts'
import { today } from './day.ts'
import type { Written } from './placement.ts'
import { currentDay, type Entry, readEntry, referralRecord } from './referral-record.ts'
import { alreadyStored, triageVersions } from './triage.ts'

/**
 * What triage adds to resources that are about to be written: the findings of every open referral of a
 * child about whom something new has come in. Nothing new for a rule, nothing added.
 */
export async function triageOfIntake(
  tx: Tx,
  context: Context,
  caller: Caller,
  written: readonly Written[],
): Promise<NewVersion[]> {
  const children = new Set(
    written.filter(mattersToTriage).flatMap(({ stored }) => stored.search.patientId ?? []),
  )
  if (children.size === 0) return []
  const basis = await basisOf(tx, context, caller)
  const added: NewVersion[] = []
  for (const child of [...children].toSorted((a, b) => a.localeCompare(b))) {
    const own = written.filter(({ stored }) => stored.search.patientId === child)
    const isNew = own.some(({ stored }) => stored.type === 'Patient' && stored.id === child)
    const known = isNew ? [] : await knownOf(tx, caller.clinicId, child)
    added.push(...(await triageOfChild(tx, context, caller, { known, own, basis })))
  }
  return added
}

async function knownOf(tx: Tx, clinicId: string, child: string): Promise<Entry[]> {
  await seeWholeClinic(tx)
  return (await readRecord(tx, clinicId, child)).map(readEntry)
}

interface ChildWork {
  readonly known: readonly Entry[]
  readonly own: readonly Entry[]
  readonly basis: Basis
}

async function triageOfChild(
  tx: Tx,
  context: Context,
  { clinicId }: Caller,
  { known, own, basis }: ChildWork,
): Promise<NewVersion[]> {
  const entries = [...known, ...own]
  const added: NewVersion[] = []
  for (const referral of entries.filter(isOpenReferral)) {
    const isNew = own.includes(referral)
    const receivedOn = isNew ? today(context) : civilDate(referral.stored.updatedAt.slice(0, 10))
    const record = referralRecord(context.baseUrl, referral, { entries, receivedOn })
    if (record === undefined || (record.task !== undefined && isEnded(record.task.resource)))
      continue
    const { results, task } = triageVersions(context, record, currentDay(context, record), basis)
    if (isNew || (await alreadyStored(tx, clinicId, results)) === undefined)
      added.push(...results, ...task)
  }
  return added
}

const isOpenReferral = ({ resource }: Entry): boolean =>
  resource.resourceType === 'ServiceRequest' && isReferral(resource) && resource.status === 'active'

const mattersToTriage = ({ resource }: Entry): boolean =>
  isInput(resource) ||
  (resource.resourceType === 'ServiceRequest' && isReferral(resource)) ||
  (resource.resourceType === 'Task' && hasCode(resource.code, EXCHANGE_CODES.referral))
