import { html } from 'ghtml'
import { AuditEvent, idIn, Outcome, those } from './answers.ts'
import { type Frame, pageOf, tableOf, text, timeOf } from './layout.ts'

/** What an administrator asks the log for; each as R4's search of AuditEvents takes it. */
export interface AuditFilter {
  readonly from?: string | undefined
  readonly to?: string | undefined
  /** The id of a Patient. */
  readonly patient?: string | undefined
  /** The client id of a system or a member of staff. */
  readonly who?: string | undefined
  readonly action?: string | undefined
  /** Refused calls only. */
  readonly refused?: boolean
}

const ACTIONS = { C: 'Create', R: 'Read', U: 'Update', D: 'Delete', E: 'Search or operation' }

/** @param searched what was found, or undefined when nothing was asked yet */
export function auditPage(
  frame: Omit<Frame, 'title' | 'at'>,
  filter: AuditFilter,
  searched: { readonly events: readonly unknown[]; readonly next: string | undefined } | undefined,
): string {
  return pageOf(
    { ...frame, title: 'Audit', at: 'audit' },
    [
      '<p>Every call on health data is recorded, allowed or refused; looking here is recorded too.</p>',
      form(filter),
      searched === undefined ? '' : results(searched),
    ].join('\n'),
  )
}

function form({ from, to, patient, who, action, refused }: AuditFilter): string {
  const options = Object.entries(ACTIONS).map(
    ([code, name]) =>
      html`<option value="${code}"!${code === action ? ' selected' : ''}>${name}</option>`,
  )
  return html`<form method="get" action="/audit" class="filter" role="search" aria-label="Audit">
<input type="hidden" name="ask" value="yes">
<p><label for="from">From (day)</label> <input id="from" name="from" type="date" value="${from}"></p>
<p><label for="to">To (day)</label> <input id="to" name="to" type="date" value="${to}"></p>
<p><label for="patient">Patient id</label> <input id="patient" name="patient" value="${patient}" spellcheck="false"></p>
<p><label for="who">System or account</label> <input id="who" name="who" value="${who}" spellcheck="false"></p>
<p><label for="action">What was done</label> <select id="action" name="action"><option value="">Anything</option>!${options.join('')}</select></p>
<p><input type="checkbox" id="refused" name="refused" value="yes"!${refused === true ? ' checked' : ''}> <label for="refused">Refused only</label></p>
<p><button>Search</button></p>
</form>`
}

function results({
  events,
  next,
}: {
  readonly events: readonly unknown[]
  readonly next: string | undefined
}): string {
  const rows = those(AuditEvent, events).map((event) => [
    timeOf(event.recorded),
    text(event.agent.find(({ requestor }) => requestor)?.altId ?? 'unknown'),
    text(doneIn(event)),
    aboutIn(event),
    text(event.outcomeDesc ?? (event.outcome === '0' ? 'done' : 'refused')),
  ])
  const notes = those(Outcome, events).flatMap(({ issue }) =>
    issue.flatMap(({ details }) => details?.text ?? []),
  )
  const said = notes.map((note) => html`<p role="status">${note}</p>`).join('')
  if (rows.length === 0) return `${said}<p role="status">Nothing of this kind is in the log.</p>`
  return (
    said +
    tableOf('What was found, the newest first', ['When', 'Who', 'What', 'About', 'Outcome'], rows) +
    (next === undefined ? '' : html`<p><a href="${next}" rel="next">Next page</a></p>`)
  )
}

const doneIn = ({ type, subtype = [] }: AuditEvent): string =>
  subtype.map(({ display, code }) => display ?? code ?? '').join(' ') || (type.display ?? '')

/** So many references stand open; a transaction names dozens. */
const SHOWN = 4

/** Children lead to their pages; of all else the reference. */
function aboutIn({ entity = [] }: AuditEvent): string {
  const all = entity
    .flatMap(({ what }) => what?.reference ?? [])
    .map((reference) => {
      const child = idIn('Patient', reference)
      return child === undefined
        ? text(reference)
        : html`<a href="/children/${child}">${reference}</a>`
    })
  const more = all.slice(SHOWN)
  return more.length < 2
    ? all.join('<br>')
    : `${all.slice(0, SHOWN).join('<br>')}<details><summary>${more.length} more</summary>${more.join('<br>')}</details>`
}
