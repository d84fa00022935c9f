import { html } from 'ghtml'
import { BUSINESS_STATUS_CODES, TIMER_CODES, WORKFLOW_EXTENSIONS } from '../fhir/workflow-codes.ts'
import { codeIn, idIn, named, nameOf, Patient, Task, those } from './answers.ts'
import { type Frame, pageOf, tableOf, text, timeOf } from './layout.ts'

/** What the worklist may be narrowed to. */
export interface WorklistFilter {
  /** A code of the business status. */
  readonly state?: string | undefined
  readonly overdue?: boolean
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
  /** Tasks of referrals in their order, with their Patients. */
  readonly referrals: readonly unknown[]
  /** Open reminders, with their Patients. */
  readonly reminders: readonly unknown[]
  /** Where the next page is. */
  readonly next: string | undefined
  /** The day, to say what is overdue. */
  readonly today: string
}

/** Who next: the referrals by urgency, and what the exchange reminds of. */
export function worklistPage(frame: Omit<Frame, 'title' | 'at'>, content: WorklistContent): string {
  const { filter, referrals, reminders, next, today } = content
  const children = childrenOf([...referrals, ...reminders])
  const rows = those(Task, referrals).map((task) => rowOf(task, children, today))
  const list =
    rows.length === 0
      ? '<p>There is no referral here.</p>'
      : tableOf(
          'Referrals, the most urgent first',
          ['Child', 'Urgency', 'State', 'Why', 'See by', 'Received'],
          rows,
        )
  return pageOf(
    { ...frame, title: 'Worklist', at: 'worklist' },
    [
      filterForm(filter),
      list,
      next === undefined ? '' : html`<p><a href="${next}" rel="next">Next page</a></p>`,
      remindersOf(reminders, children),
    ].join('\n'),
  )
}

function filterForm({ state, overdue }: WorklistFilter): string {
  const options = OPEN_STATES.map(
    (code) =>
      html`<option value="${code}"!${code === state ? ' selected' : ''}>${BUSINESS_STATUS_CODES[code].display}</option>`,
  )
  return html`<form method="get" action="/" class="filter" role="search" aria-label="Worklist">
<p><label for="state">State</label> <select id="state" name="state"><option value="">Every open one</option>!${options.join('')}</select></p>
<p><input type="checkbox" id="overdue" name="overdue" value="yes"!${overdue === true ? ' checked' : ''}> <label for="overdue">Overdue only</label></p>
<p><button>Show</button></p>
</form>`
}

type Children = ReadonlyMap<string, Patient>

const childrenOf = (resources: readonly unknown[]): Children =>
  new Map(those(Patient, resources).map((patient) => [patient.id, patient]))

/** @returns a link to the child's page, as HTML */
function childLink(task: Task, children: Children): string {
  const id = idIn('Patient', task.for?.reference)
  const child = children.get(id ?? '')
  if (id === undefined) return text('No child')
  const name = child === undefined ? 'A child' : nameOf(child)
  const born = child?.birthDate === undefined ? '' : html` <small>born ${child.birthDate}</small>`
  return html`<a href="/children/${id}">${name}</a>!${born}`
}

function rowOf(task: Task, children: Children, today: string): readonly string[] {
  const due = task.restriction?.period?.end
  const isOverdue = due !== undefined && due < today
  return [
    childLink(task, children),
    urgencyOf(task),
    text(named(task.businessStatus) || task.status),
    text(named(task.statusReason)),
    due === undefined
      ? 'not set'
      : html`!${timeOf(due)}!${isOverdue ? ' <strong>overdue</strong>' : ''}`,
    timeOf(task.authoredOn),
  ]
}

function urgencyOf({ priority, extension = [] }: Task): string {
  const score = extension.find(({ url }) => url === WORKFLOW_EXTENSIONS.urgencyScore)?.valueDecimal
  const ofHundred = score === undefined ? [] : [`${score} of 100`]
  return text([priority ?? 'not decided', ...ofHundred].join(', '))
}

const REASONS: ReadonlyMap<string, string> = new Map(
  Object.values(TIMER_CODES).map(({ code, display }) => [code, display]),
)

function remindersOf(resources: readonly unknown[], children: Children): string {
  const rows = those(Task, resources).map((task) => [
    childLink(task, children),
    text(REASONS.get(codeIn(task.reasonCode) ?? '') ?? named(task.reasonCode)),
    text(task.description),
    timeOf(task.authoredOn),
  ])
  return rows.length === 0
    ? ''
    : tableOf('Reminders', ['Child', 'Why', 'What to do', 'Since'], rows)
}
