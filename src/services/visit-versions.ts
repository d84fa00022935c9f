import { isDeepStrictEqual } from 'node:util'
import type { CivilDate } from '../domain/calendar.ts'
import { visitReport } from '../domain/follow-up/visit-report.ts'
import { writeJson } from '../fhir/decimal.ts'
import { isFitCheck } from '../fhir/fit-check-answers.ts'
import { followUpFindings } from '../fhir/follow-up-findings.ts'
import { goalAfterVisit, planAfterVisit, plannedVisit, visitOfDay } from '../fhir/plan-progress.ts'
import { progressWord, type WordPlace } from '../fhir/visit-communications.ts'
import type { ReminderContent } from '../fhir/reminder-task.ts'
import type { AnyResource, Resource } from '../fhir/r4/types.ts'
import { VISIT_REMINDER_CODES } from '../fhir/workflow-codes.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import { readResources } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { entriesOf, placesOf, planInForce } from './accept-plan.ts'
import type { Context } from './context.ts'
import type { Change } from './intake-triage.ts'
import { provenances } from './named-evidence.ts'
import { nextDevices } from './next-devices.ts'
import { firstVersion, newVersion, versionReference } from './new-version.ts'
import type { Entry, ReferralRecord } from './referral-record.ts'
import { stableId } from './stable-id.ts'
import { stopAlerts, stopReminders, toldIn, visitReminder, wordPlace } from './stop-versions.ts'
import type { EvaluatedVisit } from './visit-evaluation.ts'

export interface VisitOf {
  readonly record: ReferralRecord
  readonly visit: EvaluatedVisit
  readonly day: CivilDate
  readonly own: readonly Change[]
}

/** Everything that one visit writes, but for what an earlier one wrote already. */
export async function visitVersions(
  tx: Tx,
  context: Context,
  clinicId: string,
  of: VisitOf,
): Promise<NewVersion[]> {
  const { baseUrl } = context
  const { partnerId } = of.record.referral.stored
  const updatedAt = context.now().toISOString()
  const first = (resource: AnyResource) => firstVersion(resource, { partnerId, updatedAt, baseUrl })
  const ofClinic = { partnerId: undefined, updatedAt, baseUrl }
  const findings = followUpFindings(of.visit.found, of.day, of.visit.derived).map(first)
  const targets = findings.map(versionReference)
  const { triage, derived } = of.visit
  const from = provenances(triage, derived, { targets, recorded: updatedAt, partnerId, baseUrl })
  const seen = findings.slice(0, 1).map(({ type, id }) => `${type}/${id}`)
  const place = wordPlace(of.record, clinicId, { about: seen, now: updatedAt })
  const plan = planInForce(of.record, baseUrl)
  const before = plan === undefined ? undefined : placesOf(of.record, plan, baseUrl)
  const next = nextDevices(of, before)
  const about = [...place.about, ...next.map(({ id }) => `DeviceRequest/${id}`)]
  const words = wordsOf(of, { ...place, about })
  const once = [
    ...findings,
    from.told,
    ...from.ofClinic,
    ...[...words, ...next].map(first),
    // The clinic's alone, like those of the timers: the referrer has its message.
    ...remindersOf(of, place).map((resource) => firstVersion(resource, ofClinic)),
  ]
  const kept = new Set((await readResources(tx, clinicId, once)).map(({ id }) => id))
  const key = { updatedAt, baseUrl }
  return [...once.filter(({ id }) => !kept.has(id)), ...progressOf(of, place, key)]
}

/** Alerts, each once for what was seen when; and the report of a visit in which something was looked at. */
function wordsOf({ visit, own, record }: VisitOf, place: WordPlace): AnyResource[] {
  const { found, urgent, derived, fitCheckOn } = visit
  const alerts = stopAlerts(urgent, toldIn(record.entries), place, derived)
  const isChecked = own.some(
    ({ written: { resource } }) => resource !== undefined && isFit(resource),
  )
  const isNews =
    found.since.milestones.concat(found.since.skills).some(({ state }) => state === 'new') ||
    found.outgrown.some(({ finding }) => finding.holds === 'yes') ||
    found.stalled.holds === 'yes'
  if (!isChecked && !isNews && alerts.length === 0) return alerts
  const report = visitReport(found)
  const on = isChecked ? fitCheckOn : undefined
  const id = stableId(
    ['visit-report', record.referral.stored.id, on ?? '', writeJson(report)].join('\n'),
  )
  return [...alerts, { ...progressWord(report, place, derived), id }]
}

const isFit = (resource: Resource): boolean =>
  resource.resourceType === 'QuestionnaireResponse' && isFitCheck(resource)

/** What is to be done, each once: a stop is looked at today, a review and a next size by the next visit. */
function remindersOf({ visit, day, record }: VisitOf, place: WordPlace): AnyResource[] {
  const { found, urgent, worn, derived } = visit
  const since = worn.deliveredOn
  const reminder = (name: string, content: ReminderContent) =>
    visitReminder({ name, since, content }, place, derived)
  const stops = stopReminders(urgent, { day, told: toldIn(record.entries) }, place, derived)
  const grown = found.outgrown.flatMap(({ side, finding }) =>
    finding.holds === 'yes'
      ? [
          reminder(`outgrown ${side}`, {
            reason: VISIT_REMINDER_CODES.outgrown,
            priority: 'urgent',
            because: finding.wording ?? finding.because,
            due: day,
          }),
        ]
      : [],
  )
  if (found.stalled.holds !== 'yes') return [...stops, ...grown]
  const because = found.stalled.wording ?? found.stalled.because
  const review = { reason: VISIT_REMINDER_CODES.noGain, priority: 'routine' as const, because }
  return [...stops, ...grown, reminder('no-gain', { ...review, due: day })]
}

/** The plan in force, its visit and its goals after this one. */
function progressOf(
  { record, visit, day, own }: VisitOf,
  { about }: WordPlace,
  key: { readonly updatedAt: string; readonly baseUrl: string },
): NewVersion[] {
  const plan = planInForce(record, key.baseUrl)
  const [outcome] = about
  if (plan === undefined || outcome === undefined) return []
  const parts = entriesOf(record.entries, plan, key.baseUrl)
  const isChecked = own.some(
    ({ written: { resource } }) => resource !== undefined && isFit(resource),
  )
  const done = isChecked ? visitDone(parts, visit.fitCheckOn) : undefined
  const progress = {
    asOf: day,
    found: visit.found,
    outcome,
    visit: done === undefined ? undefined : `ServiceRequest/${done.stored.id}`,
    speaker: visit.derived.speaker,
  }
  const changed = (entry: Entry, next: Resource): NewVersion[] => {
    const { id, version, partnerId } = entry.stored
    if (isDeepStrictEqual(next, entry.resource)) return []
    return [newVersion(next, { ...key, id, version: version + 1, partnerId })]
  }
  return [
    ...changed(plan, planAfterVisit(plan.resource, progress)),
    ...parts.flatMap((entry) =>
      entry.resource.resourceType === 'Goal'
        ? changed(entry, goalAfterVisit(entry.resource, visit.triage, progress))
        : [],
    ),
    ...(done?.resource.resourceType === 'ServiceRequest'
      ? changed(done, { ...done.resource, status: 'completed' })
      : []),
  ]
}

function visitDone(parts: readonly Entry[], on: CivilDate | undefined): Entry | undefined {
  const planned = parts.flatMap((entry) => {
    const one =
      entry.resource.resourceType === 'ServiceRequest' ? plannedVisit(entry.resource) : undefined
    return one === undefined ? [] : [{ ...one, entry }]
  })
  return on === undefined ? undefined : visitOfDay(planned, on)?.entry
}
