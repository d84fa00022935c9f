import { z } from 'zod'
import { EXCHANGE_CODES, SYSTEMS } from '../fhir/codes.ts'
import { BUSINESS_STATUS_CODES, TASK_CODES } from '../fhir/workflow-codes.ts'
import { Patient, Task, those } from '../pages/answers.ts'
import { withAborts } from '../pages/task-course.ts'
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
  const reminded = new URLSearchParams({
    code: token(TASK_CODES.reminder),
    status: OPEN,
    _include: 'Task:patient',
    _count: String(MOST_REMINDERS),
  })
  const [referrals, reminders] = await Promise.all([
    pageAt(ask, `Task?${page ?? referralQuery(filter, today)}`),
    pageAt(ask, `Task?${reminded.toString()}`),
  ])
  const [found, reminding] = [referrals, reminders].map(({ matches }) => those(Task, matches))
  const courses = await coursesOf(ask, [...(found ?? []), ...(reminding ?? [])])
  return {
    filter,
    partners,
    referrals: found ?? [],
    reminders: reminding ?? [],
    patients: those(Patient, [...referrals.resources, ...reminders.resources]),
    courses: withAborts(courses, those(Task, referrals.resources)),
    next: linkTo('/', referrals.next, {
      ...(filter.state === undefined ? {} : { state: filter.state }),
      ...(filter.partner === undefined ? {} : { partner: filter.partner }),
      ...(filter.overdue === true ? { overdue: 'yes' } : {}),
    }),
    today,
  }
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

/** The most urgent first, with their children and what else is about them. */
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
    _revinclude: 'Task:focus',
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
