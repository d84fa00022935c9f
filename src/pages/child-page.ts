import { html } from 'ghtml'
import { TASK_CODES } from '../fhir/workflow-codes.ts'
import {
  CarePlan,
  codeIn,
  idIn,
  named,
  nameOf,
  type Observation,
  type Patient,
  type Task,
  those,
} from './answers.ts'
import { findingsOf } from './findings.ts'
import { type Frame, pageOf, tableOf, text, timeOf } from './layout.ts'
import type { Courses } from './task-course.ts'

/** What the API says of one child. */
export interface ChildContent {
  readonly child: Patient
  /** Tasks about the child, the newest first. */
  readonly tasks: readonly Task[]
  readonly courses: Courses
  /** The referral that is shown, when there is one. */
  readonly referral: ReferralContent | undefined
}

export interface ReferralContent {
  /** The id of its ServiceRequest. */
  readonly id: string
  readonly findings: readonly Observation[]
  /** SVGs as the API draws them. */
  readonly pictures: readonly string[]
  /** The resources of the fitting plan, or why there is none. */
  readonly plan: readonly unknown[] | { readonly whyNot: readonly string[] }
}

/** One child: where its referrals stand, what was found and why, in pictures, and the plan. */
export function childPage(frame: Omit<Frame, 'title' | 'at'>, content: ChildContent): string {
  const { child, referral } = content
  return pageOf(
    { ...frame, title: nameOf(child) },
    [
      personOf(child),
      tasksOf(content),
      ...(referral === undefined
        ? ['<p>Nothing was referred yet.</p>']
        : [findingsOf(referral.findings), picturesOf(referral), planOf(referral)]),
    ].join('\n'),
  )
}

function personOf({ id, birthDate, gender, identifier = [] }: Patient): string {
  const facts: readonly (readonly [string, string])[] = [
    ['Born', birthDate ?? 'not given'],
    ['Gender', gender ?? 'not given'],
    ['Numbers', identifier.flatMap(({ value }) => value ?? []).join(', ') || 'none'],
    ['Id here', id],
  ]
  return html`<dl class="facts">!${facts
    .map(([name, value]) => html`<div><dt>${name}</dt><dd>${value}</dd></div>`)
    .join('')}</dl>
<p><a href="/audit?ask=yes&amp;patient=${id}">Who looked at this record</a></p>`
}

function tasksOf({ child, tasks, courses }: ChildContent): string {
  const rows = tasks.map((task) => {
    const course = courses.get(task.id)
    const referral = idIn('ServiceRequest', task.focus?.reference)
    const name = taskName(task)
    return [
      referral === undefined
        ? text(name)
        : html`<a href="/children/${child.id}?referral=${referral}">${name}</a>`,
      text(named(task.businessStatus) || task.status),
      text(course?.why || named(task.reasonCode) || task.description),
      text(task.priority ?? ''),
      timeOf(task.restriction?.period?.end),
      timeOf(course?.since),
    ]
  })
  return html`<h2>Referrals and tasks</h2>!${
    rows.length === 0
      ? '<p>None.</p>'
      : tableOf(
          'Everything that is to be done, or was, for this child',
          ['What', 'State', 'Why', 'Priority', 'By', 'Since'],
          rows,
        )
  }`
}

const TASK_NAMES: ReadonlyMap<string, string> = new Map(
  Object.values(TASK_CODES).map(({ code, display }) => [code, display]),
)

/** A sender may give the code of a Task alone. */
const taskName = ({ code }: Task): string =>
  TASK_NAMES.get(codeIn(code) ?? '') ?? (named(code) || 'Task')

const picturesOf = ({ pictures }: ReferralContent): string =>
  pictures.length === 0
    ? ''
    : html`<h2>Pictures</h2><div class="pictures">!${pictures
        .map((svg) => html`<figure>!${svg}</figure>`)
        .join('\n')}</div>`

/** The narrative of the plan is made by the service itself, and is safe XHTML as R4 asks. */
function planOf({ plan }: ReferralContent): string {
  if ('whyNot' in plan)
    return html`<h2>Fitting plan</h2>!${plan.whyNot.map((word) => html`<p>${word}</p>`).join('')}`
  const [first] = those(CarePlan, plan)
  return html`<h2>Fitting plan</h2>!${first?.text?.div ?? '<p>There is none.</p>'}`
}
