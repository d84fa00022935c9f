import type { CivilDate } from '../domain/calendar.ts'
import { SIDES } from '../domain/child.ts'
import { fitCheckResult } from '../domain/follow-up/fit-check-result.ts'
import { urgentFindings } from '../domain/follow-up/urgent-findings.ts'
import { STOP_SIGNS } from '../domain/follow-up/worn-device.ts'
import { day, say } from '../domain/messages/message.ts'
import { fitCheck } from '../domain/plan/fit-check.ts'
import type { RuleSet } from '../domain/rules/rule-set.ts'
import { fitCheckAnswers, fitChecksOf, isFitCheck } from '../fhir/fit-check-answers.ts'
import { boolean } from '../fhir/reading.ts'
import { dayOf, type RecordEntry, RecordFacts } from '../fhir/record-facts.ts'
import { isStopSign, signOfWorn } from '../fhir/worn-devices.ts'
import { stopWithdrawn } from '../fhir/visit-communications.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import type { Basis } from './basis.ts'
import type { Context } from './context.ts'
import type { Change } from './intake-triage.ts'
import { askedAnswers } from './answered-fit-check.ts'
import { firstVersion } from './new-version.ts'
import { compute, type ReferralRecord } from './referral-record.ts'
import { settledReminders } from './reminder-settling.ts'
import { type StopKey, stopNames, toldIn, wordPlace } from './stop-versions.ts'

interface Seen {
  readonly record: ReferralRecord
  readonly basis: Basis
  readonly day: CivilDate
  readonly own: readonly Change[]
}

/** May what is written take a sign to stop back? */
export const mayWithdraw = ({ before }: Change): boolean =>
  before !== undefined &&
  (isStopSign(before.resource, signOfWorn) ||
    (before.resource.resourceType === 'QuestionnaireResponse' && isFitCheck(before.resource)))

/**
 * What is told when a sign to stop turns out to be recorded in error: those who were told hear it, and the reminder
 * that was raised for it is closed. A sign that has gone since was right: whoever looks at the child closes that one.
 */
export function withdrawnStops(
  context: Context,
  clinicId: string,
  { record, basis, day: asOf, own }: Seen,
): NewVersion[] {
  const before = own.filter(mayWithdraw).flatMap((one) => one.before ?? [])
  if (before.length === 0) return []
  const signsIn = (entries: readonly RecordEntry[]): StopKey[] => [
    ...observedIn(entries, asOf),
    ...rednessIn(entries, basis.rules),
  ]
  const standing = new Set(signsIn(record.entries).map(keyOf))
  // Copies of a sign that are taken back together are one.
  const gone = new Map(signsIn(before).map((one) => [keyOf(one), one] as const))
  for (const key of standing) gone.delete(key)
  const { baseUrl } = context
  const now = context.now().toISOString()
  const place = wordPlace(record, clinicId, { about: [], now })
  const told = toldIn(record.entries)
  const withdrawn = [...gone.values()]
    .map((key) => ({ key, names: stopNames(key, place, told) }))
    .filter(({ names }) => told.has(names.alert))
  if (withdrawn.length === 0) return []
  const { derived } = compute(context, record, asOf, basis)
  const { partnerId } = record.referral.stored
  const words = withdrawn.map(({ key: { sign, side, on }, names }) => {
    const signs = [say(`worn-sign.${sign}`)]
    const because = say('stop-sign.withdrawn', { side, signs, on: day(on) })
    const word = { ...stopWithdrawn(because, place, derived), id: names.withdrawal }
    return firstVersion(word, { partnerId, updatedAt: now, baseUrl })
  })
  const reminders = new Set(withdrawn.map(({ names }) => names.reminder))
  const isGone = (_: unknown, id: string) => reminders.has(id)
  const { speaker } = basis
  return [...words, ...settledReminders(record.entries, isGone, { now, baseUrl, speaker })]
}

const keyOf = ({ sign, side, on }: StopKey): string => `${sign} ${side} ${on}`

/** Every sign to stop that a record has seen. */
function observedIn(record: readonly RecordEntry[], asOf: CivilDate): StopKey[] {
  const facts = new RecordFacts(record, asOf)
  return SIDES.flatMap((side) =>
    STOP_SIGNS.flatMap((sign) =>
      facts
        .all({ codes: signOfWorn(sign), read: boolean }, side)
        .flatMap(({ value, on }) => (value ? [{ sign, side, on }] : [])),
    ),
  )
}

/** Redness past the limit in any fit check. */
const rednessIn = (record: readonly RecordEntry[], rules: RuleSet): StopKey[] =>
  fitChecksOf(record).flatMap((entry) => {
    const on = dayOf(entry.resource.authored)
    if (on === undefined) return []
    const items = fitCheck(SIDES, rules)
    const answers = askedAnswers(items, fitCheckAnswers(entry).answers)
    const checked = { fitCheck: fitCheckResult(items, answers, rules), fitCheckOn: on }
    return urgentFindings({ devices: [], deliveredOn: on, asOf: on, ...checked }, rules)
  })
