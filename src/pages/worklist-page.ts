import { html } from 'ghtml'
import {
  BUSINESS_STATUS_CODES,
  TIMER_CODES,
  VISIT_REMINDER_CODES,
  WORKFLOW_EXTENSIONS,
} from '../fhir/workflow-codes.ts'
import { codeIn, idIn, named, nameOf, type Patient, type Task } from './answers.ts'
import { type Frame, pageOf, tableOf, text, timeOf } from './layout.ts'
import type { Courses } from './task-course.ts'

/** What the worklist may be narrowed to. */
export interface WorklistFilter {
  /** A code of the business status. */
  readonly state?: string | undefined
  /** The id of the partner that sent it. */
  readonly partner?: string | undefined
  readonly overdue?: boolean
}

export interface PartnerName {
  readonly partnerId: string
  readonly name: string
}

/** States in which there is something to do, in the order of the way. */
export const OPEN_STATES = [
  'sent',
  'in-triage',
  'awaiting-information',
  'accepted',
  'scheduled',
  'missed',
  'visit-cancelled',
  'visit-done',
  'on-hold',
  'cancellation-requested',
] as const

export interface WorklistContent {
  readonly filter: WorklistFilter
  /** Whom referrals come from. */
  readonly partners: readonly PartnerName[]
  /** Tasks of referrals in their order. */
  readonly referrals: readonly Task[]
  /** Open reminders that cannot wait, as of a device that must come off. */
  readonly atOnce: readonly Task[]
  /** The other open reminders. */
  readonly reminders: readonly Task[]
  /** Whether there are more reminders than these. */
  readonly hasMoreReminders: boolean
  /** The children of all of them. */
  readonly patients: readonly Patient[]
  /** How each Task came to where it stands, by its id. */
  readonly courses: Courses
  /** Where the next page is. */
  readonly next: string | undefined
  /** The day, to say what is overdue. */
  readonly today: string
}

/** What cannot wait; who next, by urgency; and what else the exchange reminds of. */
export function worklistPage(frame: Omit<Frame, 'title' | 'at'>, content: WorklistContent): string {
  const { referrals, atOnce, reminders, hasMoreReminders, next } = content
  const children = new Map(content.patients.map((patient) => [patient.id, patient]))
  const rows = referrals.map((task) => rowOf(task, children, content))
  const list =
    rows.length === 0
      ? '<p>There is no referral here.</p>'
      : tableOf(
          'Referrals, the most urgent first',
          ['Child', 'Urgency', 'State', 'Since', 'Why', 'See by', 'Received'],
          rows,
        )
  return pageOf(
    { ...frame, title: 'Worklist', at: 'worklist' },
    [
      remindersOf('At once', atOnce, children, content),
      filterForm(content),
      list,
      next === undefined ? '' : html`<p><a href="${next}" rel="next">Next page</a></p>`,
      remindersOf('Reminders', reminders, children, content),
      hasMoreReminders ? '<p>There are more reminders than are shown here.</p>' : '',
    ].join('\n'),
  )
}

function filterForm({ filter: { state, partner, overdue }, partners }: WorklistContent): string {
  const states = OPEN_STATES.map((code) =>
    option(code, BUSINESS_STATUS_CODES[code].display, code === state),
  )
  const names = partners.map(({ partnerId, name }) =>
    option(partnerId, name, partnerId === partner),
  )
  const from =
    names.length === 0
      ? ''
      : html`<p><label for="partner">From</label> <select id="partner" name="partner"><option value="">Every partner</option>!${names.join('')}</select></p>`
  return html`<form method="get" action="/" class="filter" role="search" aria-label="Worklist">
<p><label for="state">State</label> <select id="state" name="state"><option value="">Every open one</option>!${states.join('')}</select></p>
!${from}
<p><input type="checkbox" id="overdue" name="overdue" value="yes"!${overdue === true ? ' checked' : ''}> <label for="overdue">Overdue only</label></p>
<p><button>Show</button></p>
</form>`
}

const option = (value: string, name: string, isChosen: boolean): string =>
  html`<option value="${value}"!${isChosen ? ' selected' : ''}>${name}</option>`

type Children = ReadonlyMap<string, Patient>

/** @returns a link to the child's page, as HTML */
function childLink(task: Task, children: Children): string {
  const id = idIn('Patient', task.for?.reference)
  const child = children.get(id ?? '')
  if (id === undefined) return text('No child')
  const name = child === undefined ? 'A child' : nameOf(child)
  const born = child?.birthDate === undefined ? '' : html` <small>born ${child.birthDate}</small>`
  return html`<a href="/children/${id}">${name}</a>!${born}`
}

function rowOf(
  task: Task,
  children: Children,
  { today, courses }: WorklistContent,
): readonly string[] {
  const course = courses.get(task.id)
  return [
    childLink(task, children),
    urgencyOf(task),
    text(named(task.businessStatus) || task.status),
    timeOf(course?.since),
    text(course?.why),
    dueOf(task, today),
    timeOf(course?.receivedAt),
  ]
}

function dueOf(task: Task, today: string): string {
  const due = task.restriction?.period?.end
  if (due === undefined) return 'not set'
  return html`!${timeOf(due)}!${due < today ? ' <strong>overdue</strong>' : ''}`
}

function urgencyOf({ priority, extension = [] }: Task): string {
  const score = extension.find(({ url }) => url === WORKFLOW_EXTENSIONS.urgencyScore)?.valueDecimal
  const ofHundred = score === undefined ? [] : [`${score} of 100`]
  return text([priority ?? 'not decided', ...ofHundred].join(', '))
}

const REASONS: ReadonlyMap<string, string> = new Map(
  [...Object.values(TIMER_CODES), ...Object.values(VISIT_REMINDER_CODES)].map(
    ({ code, display }) => [code, display],
  ),
)

function remindersOf(
  caption: string,
  some: readonly Task[],
  children: Children,
  { courses, today }: WorklistContent,
): string {
  const rows = some.map((task) => [
    childLink(task, children),
    text(REASONS.get(codeIn(task.reasonCode) ?? '') ?? named(task.reasonCode)),
    text(task.description),
    dueOf(task, today),
    timeOf(courses.get(task.id)?.since),
  ])
  return rows.length === 0
    ? ''
    : tableOf(caption, ['Child', 'Why', 'What to do', 'By', 'Since'], rows)
}
