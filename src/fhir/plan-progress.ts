import { type CivilDate, civilDate, daysBetween } from '../domain/calendar.ts'
import { MILESTONES } from '../domain/child.ts'
import type { FollowUpResult } from '../domain/follow-up/follow-up.ts'
import type { PlannedVisit } from '../domain/referral/follow-up-timer.ts'
import type { Triage } from '../domain/triage.ts'
import { type Code, EXCHANGE_CODES } from './codes.ts'
import { concept, type Speaking } from './derived.ts'
import { ownTarget } from './literal-reference.ts'
import { MILESTONE_CODES } from './observed-codes.ts'
import type { CarePlan, CarePlanActivity, Goal, ServiceRequest } from './r4/types.ts'
import { hasCode } from './reading.ts'
import { dayOf, type RecordEntry } from './record-facts.ts'

const ACHIEVED: Code = {
  system: 'http://terminology.hl7.org/CodeSystem/goal-achievement',
  code: 'achieved',
  display: 'Achieved',
}

/** What a visit has found, and where that is told. */
export interface VisitProgress extends Speaking {
  readonly asOf: CivilDate
  readonly found: FollowUpResult
  /** The finding `follow-up-visit`, `Observation/1`. */
  readonly outcome: string
  /** The planned visit that took place, `ServiceRequest/1`. */
  readonly visit: string | undefined
}

/**
 * Which planned visit took place: the nearest to the day on which the fit check was answered, of all that
 * are planned. Undefined when the nearest has taken place already, so that one visit stands for one.
 *
 * @param visits of one plan, each with its day, done or not
 */
export function visitOfDay<V extends { readonly on: CivilDate; readonly isOpen: boolean }>(
  visits: readonly V[],
  day: CivilDate,
): V | undefined {
  const distance = ({ on }: V) => Math.abs(daysBetween(on, day))
  // Of visits on one day the first of the plan.
  const [nearest] = visits.toSorted(
    (a, b) => distance(a) - distance(b) || Number(a.on > b.on) - Number(a.on < b.on),
  )
  return nearest?.isOpen === true ? nearest : undefined
}

/** The day of a planned visit of a stored plan. */
export const plannedVisit = ({ code, status, occurrenceDateTime }: ServiceRequest) => {
  const on = dayOf(occurrenceDateTime)
  return on === undefined || !hasCode(code, EXCHANGE_CODES.followUp) || status === 'revoked'
    ? undefined
    : { on, isOpen: status === 'active' }
}

/** The visits that are planned for the child of a referral, and what became of them. */
export const plannedVisits = (
  record: readonly Pick<RecordEntry, 'resource'>[],
  referralId: string,
  baseUrl: string,
): PlannedVisit[] =>
  record.flatMap(({ resource }) => {
    if (resource.resourceType !== 'ServiceRequest' || resource.intent !== 'plan') return []
    const visit = plannedVisit(resource)
    const isOfReferral = resource.basedOn?.some(
      ({ reference }) => ownTarget(reference, baseUrl)?.id === referralId,
    )
    return visit === undefined || isOfReferral !== true
      ? []
      : [{ ...visit, isDone: resource.status === 'completed' }]
  })

/** The plan after a visit: what came of the visit, and how far wearing in has come, or that it was stopped. */
export function planAfterVisit(plan: CarePlan, progress: VisitProgress): CarePlan {
  const activity = plan.activity?.map((one) => activityAfterVisit(one, progress))
  return activity === undefined ? plan : { ...plan, activity }
}

/** What a visit said of the wearing, when the plan is newer than the visit. */
export function wearAfterVisit(plan: CarePlan, seen: Seen): CarePlan {
  const activity = plan.activity?.map((one) => wearStepAfterVisit(one, seen))
  return activity === undefined ? plan : { ...plan, activity }
}

function activityAfterVisit(activity: CarePlanActivity, progress: VisitProgress): CarePlanActivity {
  const { visit, outcome, found, speaker } = progress
  if (activity.reference === undefined) return wearStepAfterVisit(activity, progress)
  if (visit === undefined || activity.reference.reference !== visit) return activity
  const text = speaker.therapist(found.because)
  return {
    ...activity,
    outcomeReference: [{ reference: outcome }],
    progress: [{ time: progress.asOf, text }],
  }
}

type Seen = Pick<VisitProgress, 'asOf' | 'found' | 'speaker'>

function wearStepAfterVisit(activity: CarePlanActivity, seen: Seen): CarePlanActivity {
  const { found, speaker } = seen
  const { detail } = activity
  if (detail === undefined || !hasCode(detail.code, EXCHANGE_CODES.wear)) return activity
  const { statusReason, ...rest } = detail
  const status = wearStatus(activity, seen)
  const reason = { text: speaker.therapist(found.because) }
  return {
    ...activity,
    detail: { ...rest, status, ...(status === 'stopped' ? { statusReason: reason } : {}) },
  }
}

/** Steps of the past are done, a stop ends all others until the next visit says otherwise. */
function wearStatus({ detail }: CarePlanActivity, { asOf, found }: Seen) {
  const { start, end } = detail?.scheduledTiming?.repeat?.boundsPeriod ?? {}
  if (end !== undefined && end.slice(0, 10) < asOf) return 'completed' as const
  if (found.outcome === 'stop') return 'stopped' as const
  return start !== undefined && start.slice(0, 10) <= asOf
    ? ('in-progress' as const)
    : ('not-started' as const)
}

/** A goal is reached when its milestone has been attained, or the devices are worn as planned without trouble. */
export function goalAfterVisit(
  goal: Goal,
  { milestones }: Pick<Triage, 'milestones'>,
  { asOf, found, outcome }: VisitProgress,
): Goal {
  if (goal.lifecycleStatus === 'completed' || goal.lifecycleStatus === 'cancelled') return goal
  const milestone = MILESTONES.find((one) => hasCode(goal.description, MILESTONE_CODES[one]))
  const isWear = hasCode(goal.description, EXCHANGE_CODES.wear)
  const isReached =
    milestone === undefined
      ? isWear && isWornWell(goal, asOf, found)
      : milestones.statuses.some((one) => one.milestone === milestone && one.state === 'attained')
  if (!isReached) return goal
  return {
    ...goal,
    lifecycleStatus: 'completed',
    achievementStatus: concept(ACHIEVED),
    statusDate: asOf,
    outcomeReference: [{ reference: outcome }],
  }
}

/** From the day on which the full time is due: worn as scheduled, and the fit check found nothing to do. */
function isWornWell(
  { target }: Goal,
  asOf: CivilDate,
  { wear, fitCheck }: FollowUpResult,
): boolean {
  const [due] = target?.flatMap(({ dueDate }) => dueDate ?? []) ?? []
  const isDue = due !== undefined && civilDate(due.slice(0, 10)) <= asOf
  return isDue && wear.holds === 'yes' && fitCheck !== 'unknown' && fitCheck.verdict === 'pass'
}
