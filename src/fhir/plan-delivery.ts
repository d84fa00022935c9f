import { addDays, type CivilDate, civilDate, daysBetween, earliestDay } from '../domain/calendar.ts'
import { day, say } from '../domain/messages/message.ts'
import { EXCHANGE_CODES } from './codes.ts'
import type { Speaking } from './derived.ts'
import { FINDING_CODES } from './finding-codes.ts'
import { visitNarrative } from './plan-resources.ts'
import type { CarePlan, CarePlanActivity, Goal, Resource, ServiceRequest } from './r4/types.ts'
import { hasCode } from './reading.ts'
import { dayOf } from './record-facts.ts'
import { paragraph } from './xhtml.ts'

/** From when an accepted plan counts its days; undefined when it has no day of wearing. */
export const deliveryOfPlan = ({ activity = [] }: CarePlan): CivilDate | undefined =>
  earliestDay(
    activity.flatMap(
      ({ detail }) => dayOf(detail?.scheduledTiming?.repeat?.boundsPeriod?.start) ?? [],
    ),
  )

/** When the devices were expected, and when they came. */
export interface Moved {
  readonly from: CivilDate
  readonly to: CivilDate
}

/**
 * A part of an accepted plan once its devices were delivered on another day than was expected: what counts from the
 * delivery moves with it. A refit is due by growth, a milestone by its forecast; what took place stays where it was.
 */
export function movedPart(resource: Resource, moved: Moved, speaking: Speaking): Resource {
  switch (resource.resourceType) {
    case 'CarePlan':
      return movedPlan(resource, moved, speaking)
    case 'ServiceRequest':
      return movedVisit(resource, moved)
    case 'Goal':
      return movedGoal(resource, moved)
    default:
      return resource
  }
}

const later = (on: string, { from, to }: Moved): string =>
  addDays(civilDate(on.slice(0, 10)), daysBetween(from, to))

function movedPlan(plan: CarePlan, moved: Moved, { speaker }: Speaking): CarePlan {
  const { text, activity } = plan
  const told = say('plan-moved.delivered', { on: day(moved.to), expected: day(moved.from) })
  const words = paragraph(speaker.therapist(told))
  return {
    ...plan,
    ...(text && {
      text: { ...text, div: text.div.replace(/^<div[^>]*>/, (start) => start + words) },
    }),
    ...(activity && { activity: activity.map((one) => movedActivity(one, moved)) }),
  }
}

function movedActivity(activity: CarePlanActivity, moved: Moved): CarePlanActivity {
  const { detail } = activity
  const timing = detail?.scheduledTiming
  const period = timing?.repeat?.boundsPeriod
  if (detail === undefined || timing === undefined || period === undefined) return activity
  const boundsPeriod = {
    ...period,
    ...(period.start && { start: later(period.start, moved) }),
    ...(period.end && { end: later(period.end, moved) }),
  }
  const scheduledTiming = { ...timing, repeat: { ...timing.repeat, boundsPeriod } }
  return { ...activity, detail: { ...detail, scheduledTiming } }
}

function movedVisit(visit: ServiceRequest, moved: Moved): ServiceRequest {
  const { code, status, occurrenceDateTime, note } = visit
  const isMoved = hasCode(code, EXCHANGE_CODES.followUp) && !hasCode(code, EXCHANGE_CODES.refit)
  if (!isMoved || status !== 'active' || occurrenceDateTime === undefined) return visit
  const on = later(occurrenceDateTime, moved)
  return {
    ...visit,
    occurrenceDateTime: on,
    text: visitNarrative(on, note?.map(({ text }) => text).join(' ') ?? ''),
  }
}

const FROM_DELIVERY = [EXCHANGE_CODES.wear, FINDING_CODES.footPosture]

function movedGoal(goal: Goal, moved: Moved): Goal {
  const isMoved = FROM_DELIVERY.some((code) => hasCode(goal.description, code))
  if (!isMoved || goal.lifecycleStatus !== 'accepted') return goal
  const target = goal.target?.map((one) => ({
    ...one,
    ...(one.dueDate && { dueDate: later(one.dueDate, moved) }),
  }))
  return { ...goal, ...(target && { target }) }
}
