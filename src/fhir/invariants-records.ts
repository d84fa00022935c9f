import { every, has, type Invariant, invariant } from './invariant.ts'
import type { Appointment, CareTeamParticipant, List } from './r4/types.ts'

const WITHOUT_TIME: ReadonlySet<string> = new Set(['proposed', 'cancelled', 'waitlist'])

/** The published expression says `no-show`, which is no code of the status; the code is `noshow`. */
const NOT_HELD: ReadonlySet<string> = new Set(['cancelled', 'noshow'])

const timed = (appointment: Appointment) => has(appointment, 'start') && has(appointment, 'end')

/** `Practitioner/1`, with or without a base and a version; other forms do not say the type. */
const TYPED = /(?:^|\/)([A-Z]\w+)\/[^/]+(?:\/_history\/[^/]+)?$/

/** The type that a participant is of, where its reference says it; what is not said cannot be wrong. */
function actsForOthers({ member, onBehalfOf }: CareTeamParticipant): boolean {
  if (onBehalfOf === undefined) return true
  const type = TYPED.exec(member?.reference ?? '')?.[1]
  return type === undefined || type === 'Practitioner'
}

const noneHas = ({ entry }: List, name: 'deleted' | 'date') =>
  every(entry, (item) => !has(item, name))

const APPOINTMENT_INVARIANTS: readonly Invariant[] = [
  invariant(
    'Appointment.participant',
    ['app-1', 'A participant needs a type or an actor'],
    ({ type, actor }) => type !== undefined || actor !== undefined,
  ),
  invariant(
    'Appointment',
    ['app-2', 'start and end must both be given, or neither'],
    (appointment) => has(appointment, 'start') === has(appointment, 'end'),
  ),
  invariant(
    'Appointment',
    ['app-3', 'Only a proposed, cancelled or waitlisted appointment has no start and end'],
    (appointment) =>
      timed(appointment) ||
      appointment.status === undefined ||
      WITHOUT_TIME.has(appointment.status),
  ),
  invariant(
    'Appointment',
    ['app-4', 'A cancelationReason is for an appointment that was cancelled or not kept'],
    ({ cancelationReason, status }) =>
      cancelationReason === undefined || status === undefined || NOT_HELD.has(status),
  ),
]

export const RECORD_INVARIANTS: readonly Invariant[] = [
  ...APPOINTMENT_INVARIANTS,
  invariant(
    'CareTeam.participant',
    ['ctm-1', 'Only a Practitioner takes part on behalf of an organization'],
    actsForOthers,
  ),
  invariant(
    'Composition.section',
    ['cmp-1', 'A section needs a text, an entry or a section'],
    ({ text, entry, section }) => [text, entry, section].some((part) => part !== undefined),
  ),
  invariant(
    'Composition.section',
    ['cmp-2', 'Only a section without entries has an emptyReason'],
    ({ emptyReason, entry }) => emptyReason === undefined || entry === undefined,
  ),
  invariant(
    'Group',
    ['grp-1', 'Only an actual group has members'],
    ({ member, actual }) => member === undefined || (actual ?? true),
  ),
  invariant(
    'List',
    ['lst-1', 'Only an empty list has an emptyReason'],
    ({ emptyReason, entry }) => emptyReason === undefined || entry === undefined,
  ),
  invariant(
    'List',
    ['lst-2', 'Entries are marked as deleted in a list of mode changes only'],
    (list) => list.mode === undefined || list.mode === 'changes' || noneHas(list, 'deleted'),
  ),
  invariant(
    'List',
    ['lst-3', 'Entries have a date in a list of mode working only'],
    (list) => list.mode === undefined || list.mode === 'working' || noneHas(list, 'date'),
  ),
  invariant(
    'MeasureReport',
    ['mrp-1', 'A report for data collection has no group'],
    ({ type, group }) => type !== 'data-collection' || group === undefined,
  ),
  invariant(
    'MeasureReport',
    ['mrp-2', 'A stratum has a value or components, not both'],
    ({ group }) =>
      every(group, ({ stratifier }) =>
        every(stratifier, ({ stratum }) =>
          every(
            stratum,
            ({ value, component }) => (value === undefined) !== (component === undefined),
          ),
        ),
      ),
  ),
]
