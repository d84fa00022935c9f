import type { CivilDate } from '../domain/calendar.ts'
import type { DerivedContext } from '../fhir/derived.ts'
import { type PictureFacts, pictureFacts } from '../pictures/picture-facts.ts'
import type { Basis } from './basis.ts'
import type { Context } from './context.ts'
import { compute, type ReferralRecord } from './referral-record.ts'
import { evaluatedVisit } from './visit-evaluation.ts'

/**
 * What papers and pictures of a child are made from on a day: its findings and, where it wears devices, how that
 * goes, by everything that was read for either.
 *
 * @throws ImplausibleRecord, AppError `business-rule` as `triage` and `followUp`
 */
export function childInPictures(
  context: Context,
  record: ReferralRecord,
  day: CivilDate,
  basis: Basis,
): { readonly facts: PictureFacts; readonly derived: DerivedContext } {
  const visit = evaluatedVisit(context, record, day, basis)
  if (visit === undefined) {
    const { triage, derived } = compute(context, record, day, basis)
    return { facts: pictureFacts(triage, basis), derived }
  }
  const { triage, worn, found, derived } = visit
  return { facts: pictureFacts(triage, basis, { ...worn, found }), derived }
}
