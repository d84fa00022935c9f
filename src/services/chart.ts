import { AppError } from '../errors.ts'
import { isReferral } from '../fhir/profiles.ts'
import { drawPicture, type Picture, type PictureKind } from '../pictures/picture.ts'
import type { Caller } from '../security/access-token.ts'
import { readRecord, readResource } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { askedReferral, type Question } from './asked-referral.ts'
import type { Context } from './context.ts'
import { childInPictures } from './child-in-pictures.ts'
import { plausibly, readEntry } from './referral-record.ts'
import { type Need, unitOfWork } from './unit-of-work.ts'

/** Of a referral, or of a child: then of its newest referral in sight. */
export interface ChartQuestion extends Omit<Question, 'referralId'> {
  readonly of: { readonly type: 'ServiceRequest' | 'Patient'; readonly id: string }
  readonly kind: PictureKind
}

const NEEDS: readonly Need[] = [
  { type: 'ServiceRequest', letter: 'r' },
  { type: 'Observation', letter: 'r' },
  { type: 'CarePlan', letter: 'r' },
]

/** A picture of what is found about the child of a referral. Nothing is stored. */
export function drawChart(now: Context, caller: Caller, question: ChartQuestion): Promise<Picture> {
  const { of, kind, ...asked } = question
  const needs =
    of.type === 'Patient' ? [{ type: 'Patient', letter: 'r' } as const, ...NEEDS] : NEEDS
  return unitOfWork(now, caller, needs, async (tx) => {
    const referralId = of.type === 'Patient' ? await newestReferral(tx, caller, of.id) : of.id
    const found = await askedReferral(tx, now, caller, { ...asked, referralId })
    const { context, record, day, basis } = found
    const facts = plausibly(() => childInPictures(context, record, day, basis).facts)
    return drawPicture(kind, facts, basis.speaker)
  })
}

async function newestReferral(tx: Tx, caller: Caller, patientId: string): Promise<string> {
  const { clinicId, call } = caller
  const patient = await readResource(tx, { clinicId, type: 'Patient', id: patientId })
  if (patient === undefined) throw new AppError('not-found', `Patient/${patientId} does not exist.`)
  if (patient.deleted) throw new AppError('deleted', `Patient/${patientId} was deleted.`)
  call.touch({ type: 'Patient', id: patientId, did: 'read' }, patientId)
  const referrals = (await readRecord(tx, clinicId, patientId))
    .map(readEntry)
    .flatMap(({ stored, resource }) =>
      resource.resourceType === 'ServiceRequest' && isReferral(resource)
        ? [{ id: stored.id, on: resource.authoredOn ?? stored.updatedAt }]
        : [],
    )
  const newest = referrals
    .toSorted((a, b) => a.on.localeCompare(b.on) || a.id.localeCompare(b.id))
    .at(-1)
  if (newest === undefined)
    throw new AppError(
      'business-rule',
      'No referral for orthotic assessment of this child is known.',
    )
  return newest.id
}
