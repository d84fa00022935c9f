import type { CivilDate } from '../domain/calendar.ts'
import {
  type FitCheckAnswer,
  type FitCheckResult,
  fitCheckResult,
} from '../domain/follow-up/fit-check-result.ts'
import { followUp } from '../domain/follow-up/follow-up.ts'
import { fitCheck } from '../domain/plan/fit-check.ts'
import type { FitCheckItem } from '../domain/plan/fitting.ts'
import { AppError } from '../errors.ts'
import { fitCheckAnswers, fitChecksOf } from '../fhir/fit-check-answers.ts'
import { followUpFindings } from '../fhir/follow-up-findings.ts'
import { dayOf } from '../fhir/record-facts.ts'
import { type WornDevices, wornDevices } from '../fhir/worn-devices.ts'
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
    const visit = {
      ...triage,
      ...worn,
      fitCheck: answeredFitCheck(record, { day, ...worn }, basis)?.result ?? ('unknown' as const),
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

/**
 * The last fit check that was answered since the first delivery, up to the day of the visit. What it says of a foot
 * counts from the delivery of its own device.
 */
export function answeredFitCheck(
  record: Pick<ReferralRecord, 'entries'>,
  { day, firstOn, devices }: Pick<WornDevices, 'firstOn' | 'devices'> & { readonly day: CivilDate },
  { rules }: Pick<Basis, 'rules'>,
): { readonly result: FitCheckResult; readonly on: CivilDate | undefined } | undefined {
  const last = lastFitCheck(record, { day, firstOn })
  if (last === undefined) return undefined
  const on = dayOf(last.resource.authored)
  const items = fitCheck(
    devices.map(({ side }) => side),
    rules,
  )
  const isOfDevice = ({ side }: FitCheckAnswer): boolean =>
    !devices.some(
      ({ side: foot, deliveredOn = firstOn }) =>
        foot === side && on !== undefined && on < deliveredOn,
    )
  const answers = askedAnswers(items, fitCheckAnswers(last).answers).filter(isOfDevice)
  return { result: fitCheckResult(items, answers, rules), on }
}

/** Answers to what is asked of the devices that are worn; what was answered of others says nothing of them. */
export const askedAnswers = (
  items: readonly FitCheckItem[],
  answers: readonly FitCheckAnswer[],
): FitCheckAnswer[] =>
  answers.filter(({ id, side, value }) => {
    const item = items.find((one) => one.id === id && one.side === side)
    const isYesNo = item?.answer === 'yes-no'
    return item !== undefined && (value === 'unknown' || (typeof value === 'boolean') === isYesNo)
  })

export const lastFitCheck = (
  { entries }: Pick<ReferralRecord, 'entries'>,
  { day, firstOn }: { readonly day: CivilDate; readonly firstOn: CivilDate },
) =>
  fitChecksOf(entries).findLast(({ resource }) => {
    const on = dayOf(resource.authored)
    return on !== undefined && on >= firstOn && on <= day
  })
