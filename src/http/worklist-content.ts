import { z } from 'zod'
import { EXCHANGE_CODES, SYSTEMS } from '../fhir/codes.ts'
import { BUSINESS_STATUS_CODES, TASK_CODES } from '../fhir/workflow-codes.ts'
import { type Page, Patient, Task, those } from '../pages/answers.ts'
import { isAsked, withAborts } from '../pages/task-course.ts'
import {
  OPEN_STATES,
  type PartnerName,
  type WorklistContent,
  type WorklistFilter,
} from '../pages/worklist-page.ts'
import { type Ask, linkTo, NoAnswer, pageAt } from './page-asking.ts'
import { coursesOf } from './task-courses.ts'

const ROWS = 25
const MOST_REMINDERS = 50
const OPEN = 'requested,received,accepted,ready,in-progress,on-hold'

const token = ({ system, code }: { readonly system: string; readonly code: string }): string =>
  `${system}|${code}`

/** @param page the query of a further page, as a link of ours gave it */
export async function worklistContent(
  ask: Ask,
  asked: WorklistFilter,
  { page, today }: { readonly page: string | undefined; readonly today: string },
): Promise<WorklistContent> {
  const partners = await partnerNames(ask)
  const filter = knownFilter(asked, partners)
  const [referrals, atOnce, reminders] = await Promise.all([
    pageAt(ask, `Task?${page ?? referralQuery(filter, today)}`),
    remindersAt(ask, { priority: 'stat' }),
    remindersAt(ask, { 'priority:not': 'stat' }),
  ])
  const pages = [referrals, atOnce, reminders]
  const [found = [], urgent = [], later = []] = pages.map(({ matches }) => those(Task, matches))
  const [courses, aborts] = await Promise.all([
    coursesOf(ask, [...found, ...urgent, ...later]),
    abortsOf(ask, found.filter(isAsked)),
  ])
  return {
    filter,
    partners,
    referrals: found,
    atOnce: urgent,
    reminders: later,
    hasMoreReminders: [atOnce, reminders].some((some) => some.next !== undefined),
    patients: those(
      Patient,
      pages.flatMap(({ resources }) => resources),
    ),
    courses: withAborts(courses, [...found, ...aborts]),
    next: linkTo('/', referrals.next, {
      ...(filter.state === undefined ? {} : { state: filter.state }),
      ...(filter.partner === undefined ? {} : { partner: filter.partner }),
      ...(filter.overdue === true ? { overdue: 'yes' } : {}),
    }),
    today,
  }
}

/** Open reminders, what is due first before the rest. */
function remindersAt(ask: Ask, which: Readonly<Record<string, string>>): Promise<Page> {
  const asked = new URLSearchParams({
    code: token(TASK_CODES.reminder),
    status: OPEN,
    ...which,
    _sort: 'due',
    _include: 'Task:patient',
    _count: String(MOST_REMINDERS),
  })
  return pageAt(ask, `Task?${asked.toString()}`)
}

/** Who asks that these be given up: about the Task of the referral, or about its request. */
async function abortsOf(ask: Ask, referrals: readonly Task[]): Promise<readonly Task[]> {
  if (referrals.length === 0) return []
  const about = referrals.flatMap(({ id, focus }) => [`Task/${id}`, focus?.reference ?? []].flat())
  const asked = new URLSearchParams({
    code: token(TASK_CODES.abort),
    status: 'requested',
    focus: about.join(','),
    _count: String(about.length),
  })
  return those(Task, (await pageAt(ask, `Task?${asked.toString()}`)).matches)
}

/** What a form of ours could not have asked for is left out. */
const knownFilter = (
  { state, partner, overdue }: WorklistFilter,
  partners: readonly PartnerName[],
): WorklistFilter => ({
  state: OPEN_STATES.find((code) => code === state),
  partner: partners.find(({ partnerId }) => partnerId === partner)?.partnerId,
  overdue: overdue === true,
})

/** The most urgent first, with their children. */
function referralQuery({ state, partner, overdue }: WorklistFilter, today: string): string {
  const ours = OPEN_STATES.find((code) => code === state)
  return new URLSearchParams({
    code: token(EXCHANGE_CODES.referral),
    ...(ours === undefined
      ? { status: OPEN }
      : { 'business-status': token(BUSINESS_STATUS_CODES[ours]) }),
    ...(partner === undefined ? {} : { partner: `${SYSTEMS.partner}|${partner}` }),
    ...(overdue === true ? { due: `lt${today}` } : {}),
    _sort: '-urgency,due',
    _include: 'Task:patient',
    _count: String(ROWS),
  }).toString()
}

const Partners = z.object({
  partners: z.array(z.object({ partnerId: z.string(), name: z.string() })),
})

async function partnerNames(ask: Ask): Promise<readonly PartnerName[]> {
  const answer = await ask('/admin/partners')
  if (answer.status !== 200) throw new NoAnswer(answer)
  return Partners.parse(JSON.parse(answer.body)).partners
}
