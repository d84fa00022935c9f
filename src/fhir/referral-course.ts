import { type CivilDate, civilDate } from '../domain/calendar.ts'
import { evidenceRef } from '../domain/facts.ts'
import { programmeDeadlines } from '../domain/law/early-intervention.ts'
import { type LegalDate, legalDates, type ReferralCourse } from '../domain/referral/timers.ts'
import type { RuleSet } from '../domain/rules/rule-set.ts'
import { isOpenRequest } from './information-task.ts'
import { ownTarget } from './literal-reference.ts'
import { programmeFacts } from './programme-facts.ts'
import type { Appointment, Patient, Reference, Resource, Task } from './r4/types.ts'
import { dayOf, type RecordEntry } from './record-facts.ts'
import { stateOfTask } from './referral-task.ts'
import { isInput } from './to-domain.ts'

/** A version of a referral's Task; none of a deletion. */
export interface TaskVersion {
  readonly task: Task | undefined
  /** ISO instant in UTC. */
  readonly updatedAt: string
}

/** What the course of a referral is read from. */
export interface CourseRecord {
  readonly referralId: string
  readonly receivedOn: CivilDate
  /** All versions of its Task, newest first; empty without a Task. */
  readonly task: readonly TaskVersion[]
  readonly entries: readonly RecordEntry[]
  readonly baseUrl: string
}

/**
 * What is known of the course of a referral.
 *
 * One without a Task has been received and not decided. Work in progress of which nobody says how far is taken
 * as scheduled: the child was not seen yet, as far as is known. Days are those of UTC.
 */
export function courseOf(record: CourseRecord): Omit<ReferralCourse, 'legalDates'> {
  const { receivedOn, entries, referralId, baseUrl } = record
  const task = record.task[0]?.task
  const isAbout = (references: readonly (Reference | undefined)[] = []): boolean =>
    references.some((one) => ownTarget(one?.reference, baseUrl)?.id === referralId)
  const resources = entries.map(({ resource }) => resource)
  return {
    state: task === undefined ? 'in-triage' : stateKnown(task),
    since: task === undefined ? receivedOn : sinceDay(record.task),
    receivedOn,
    seeBy: dayOf(task?.restriction?.period?.end) ?? 'unknown',
    informationAskedOn: resources
      .filter((one): one is Task => isOpenRequest(one) && isAbout([one.focus]))
      .flatMap(({ authoredOn }) => dayOf(authoredOn) ?? []),
    visitsOn: resources
      .filter(isPlannedVisit)
      .filter(({ basedOn }) => isAbout(basedOn))
      .flatMap(({ start }) => dayOf(start) ?? []),
  }
}

const stateKnown = (task: Task) => stateOfTask(task) ?? 'scheduled'

/** On which day did the newest version's state begin? */
function sinceDay(versions: readonly TaskVersion[]): CivilDate {
  const [newest] = versions
  if (newest?.task === undefined) throw new RangeError('a referral has no Task')
  const state = stateKnown(newest.task)
  const other = versions.findIndex(({ task }) => task === undefined || stateKnown(task) !== state)
  const first = versions[other < 0 ? versions.length - 1 : other - 1] ?? newest
  return civilDate(first.updatedAt.slice(0, 10))
}

const PLANNED = ['pending', 'booked', 'arrived', 'checked-in']

const isPlannedVisit = (resource: Resource): resource is Appointment =>
  resource.resourceType === 'Appointment' && PLANNED.includes(resource.status)

/** The days to work towards that the law of early intervention sets for a child. */
export function legalDatesOf(
  entries: readonly RecordEntry[],
  patient: { readonly reference: string; readonly resource: Patient },
  asOf: CivilDate,
  rules: RuleSet,
): LegalDate[] {
  const birthDate = dayOf(patient.resource.birthDate)
  if (birthDate === undefined) return []
  const born = { value: birthDate, on: birthDate, evidence: evidenceRef(patient.reference) }
  const facts = programmeFacts(
    entries.filter(({ resource }) => isInput(resource)),
    patient,
    asOf,
  )
  const found = programmeDeadlines(born, facts, asOf, rules)
  return found === undefined ? [] : legalDates(found, facts)
}
