import type { CivilDate } from '../domain/calendar.ts'
import {
  type FitCheckAnswer,
  type FitCheckResult,
  fitCheckResult,
} from '../domain/follow-up/fit-check-result.ts'
import { fitCheck } from '../domain/plan/fit-check.ts'
import type { FitCheckItem } from '../domain/plan/fitting.ts'
import { fitCheckAnswers, fitChecksOf } from '../fhir/fit-check-answers.ts'
import { dayOf } from '../fhir/record-facts.ts'
import type { WornDevices } from '../fhir/worn-devices.ts'
import type { Basis } from './basis.ts'
import type { ReferralRecord } from './referral-record.ts'

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
