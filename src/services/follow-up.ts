import type { CivilDate } from '../domain/calendar.ts'
import type { Side } from '../domain/child.ts'
import { type FitCheckResult, fitCheckResult } from '../domain/follow-up/fit-check-result.ts'
import { followUp } from '../domain/follow-up/follow-up.ts'
import { fitCheck } from '../domain/plan/fit-check.ts'
import { AppError } from '../errors.ts'
import { fitCheckAnswers, fitChecksOf } from '../fhir/fit-check-answers.ts'
import { followUpFindings } from '../fhir/follow-up-findings.ts'
import { dayOf } from '../fhir/record-facts.ts'
import { wornDevices } from '../fhir/worn-devices.ts'
import type { Caller } from '../security/access-token.ts'
import { askedReferral, type Question } from './asked-referral.ts'
import type { Basis } from './basis.ts'
import { collectionOf } from './bundle-text.ts'
import type { Context } from './context.ts'
import { firstVersion } from './new-version.ts'
import { compute, type ReferralRecord } from './referral-record.ts'
import { unitOfWork } from './unit-of-work.ts'

/**
 * How a child is doing with the devices that were delivered: fit, pace before and after, new skills,
 * outgrown, stop signs, and what follows from it all. Nothing is stored.
 */
export function evaluateFollowUp(
  now: Context,
  caller: Caller,
  question: Question,
): Promise<string> {
  const needs = [
    { type: 'ServiceRequest', letter: 'r' },
    { type: 'Observation', letter: 'r' },
    { type: 'QuestionnaireResponse', letter: 'r' },
    { type: 'DeviceUseStatement', letter: 'r' },
  ] as const
  return unitOfWork(now, caller, needs, async (tx) => {
    const { context, record, day, basis } = await askedReferral(tx, now, caller, question)
    const { triage, derived } = compute(context, record, day, basis)
    const worn = wornDevices(record.entries, {
      asOf: day,
      chart: basis.chart,
      baseUrl: context.baseUrl,
    })
    if (worn === undefined)
      throw new AppError(
        'business-rule',
        'No device in use is on record: an active DeviceUseStatement of an orthosis is needed.',
      )
    const sides = worn.devices.map(({ side }) => side)
    const visit = {
      ...triage,
      ...worn,
      fitCheck: answeredFitCheck(record, { day, ...worn, sides }, basis),
    }
    const found = followUp(visit, basis)
    const updatedAt = context.now().toISOString()
    const { partnerId } = record.referral.stored
    const versions = followUpFindings(found, day, derived).map((resource) =>
      firstVersion(resource, { partnerId, updatedAt, baseUrl: context.baseUrl }),
    )
    return collectionOf(context.baseUrl, versions)
  })
}

interface OfVisit {
  readonly day: CivilDate
  readonly deliveredOn: CivilDate
  readonly sides: readonly Side[]
}

/** The last fit check that was answered since the delivery, up to the day of the visit. */
export function answeredFitCheck(
  record: Pick<ReferralRecord, 'entries'>,
  { day, deliveredOn, sides }: OfVisit,
  { rules }: Basis,
): FitCheckResult | 'unknown' {
  const last = lastFitCheck(record, { day, deliveredOn })
  if (last === undefined) return 'unknown'
  return fitCheckResult(fitCheck(sides, rules), fitCheckAnswers(last).answers, rules)
}

export const lastFitCheck = (
  { entries }: Pick<ReferralRecord, 'entries'>,
  { day, deliveredOn }: Pick<OfVisit, 'day' | 'deliveredOn'>,
) =>
  fitChecksOf(entries).findLast(({ resource }) => {
    const on = dayOf(resource.authored)
    return on !== undefined && on >= deliveredOn && on <= day
  })
