import { AppError } from '../errors.ts'
import { accounting, recordOfAccess, type ReportedPartner } from '../fhir/access-reports.ts'
import { type AuditedAccess, auditedAccess } from '../fhir/audited-access.ts'
import type { Parameters } from '../fhir/r4/types.ts'
import type { Caller } from '../security/access-token.ts'
import { partnersOf } from '../storage/clients.ts'
import { readResource } from '../storage/resources.ts'
import { searchMatches } from '../storage/search.ts'
import type { Tx } from '../storage/transaction.ts'
import { isoPeriod, type Period, refusePartners } from './audit-period.ts'
import type { Context } from './context.ts'
import { readEntry } from './referral-record.ts'
import { planOf } from './search-plan.ts'
import { ofWholeLog } from './unit-of-work.ts'

/** An account of more calls than this is asked for in parts. */
const MOST_EVENTS = 20_000

const NEEDS = [
  { type: 'AuditEvent', letter: 'r' },
  { type: 'AuditEvent', letter: 's' },
  { type: 'Patient', letter: 'r' },
] as const

/** Accounting of the disclosures of a child, of six years when nothing else is asked (45 CFR 164.528). */
export const disclosures = (
  context: Context,
  caller: Caller,
  asked: { readonly patientId: string; readonly period: Period },
): Promise<Parameters> =>
  report(context, caller, asked, ({ accesses, partners, period }) =>
    accounting(accesses, partners, period),
  )

/** Who had access to what a programme sent about a child (34 CFR 303.406); 422 for any other sender's. */
export const partCAccess = (
  context: Context,
  caller: Caller,
  asked: { readonly patientId: string; readonly period: Period },
): Promise<Parameters> =>
  report(context, caller, asked, ({ accesses, partners, sender, period }) => {
    if (partners.find(({ partnerId }) => partnerId === sender)?.regime !== 'part-c')
      throw new AppError(
        'business-rule',
        'This child was not sent by a programme of early intervention, of whose records a record of access is kept.',
      )
    return recordOfAccess(accesses, { sender: sender ?? '', partners }, period)
  })

interface Material {
  readonly accesses: readonly AuditedAccess[]
  readonly partners: readonly ReportedPartner[]
  /** The partner whose copy the Patient is. */
  readonly sender: string | undefined
  readonly period: Period
}

function report(
  context: Context,
  caller: Caller,
  { patientId, period }: { readonly patientId: string; readonly period: Period },
  make: (material: Material) => Parameters,
): Promise<Parameters> {
  refusePartners(caller)
  return ofWholeLog(context, caller, NEEDS, async (tx) => {
    const { clinicId } = caller
    const patient = await readResource(tx, { clinicId, type: 'Patient', id: patientId })
    if (patient === undefined) throw new AppError('not-found', 'There is no such Patient.')
    caller.call.concern(patientId)
    return make({
      accesses: await accessesOf(tx, context, caller, { patientId, period }),
      partners: await partnersOf(tx, clinicId),
      sender: patient.partnerId,
      period,
    })
  })
}

/** Every call that was answered with something of the child, or changed it. */
async function accessesOf(
  tx: Tx,
  context: Context,
  caller: Caller,
  { patientId, period }: { readonly patientId: string; readonly period: Period },
): Promise<AuditedAccess[]> {
  const { query } = planOf(context, caller, {
    type: 'AuditEvent',
    parameters: [
      ['patient', `Patient/${patientId}`],
      ['outcome', '0'],
      ['date', `ge${isoPeriod(period).start}`],
      ['date', `lt${isoPeriod(period).end}`],
    ],
    handling: 'strict',
  })
  const found = await searchMatches(tx, caller, query, MOST_EVENTS)
  if (found.length === MOST_EVENTS)
    throw new AppError('invalid-request', 'The period holds too many calls. Ask for parts of it.')
  return found.flatMap((stored) => {
    const { resource } = readEntry(stored)
    return resource.resourceType === 'AuditEvent' ? [auditedAccess(resource)] : []
  })
}
