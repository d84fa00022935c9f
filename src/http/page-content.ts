import { idIn, Observation, pageOf, Patient, Task, those } from '../pages/answers.ts'
import type { AuditFilter } from '../pages/audit-page.ts'
import type { ChildContent, ReferralContent } from '../pages/child-page.ts'
import { wordsOf } from '../pages/message-page.ts'
import { withAborts } from '../pages/task-course.ts'
import { PICTURE_KINDS } from '../pictures/picture.ts'
import { type Ask, linkTo, NoAnswer, pageAt } from './page-asking.ts'
import { coursesOf } from './task-courses.ts'

const MOST_TASKS = 50
const MOST_EVENTS = 50

/** @param shown the id of the ServiceRequest that is looked at; the newest, when none is named */
export async function childContent(
  ask: Ask,
  childId: string,
  shown: string | undefined,
): Promise<ChildContent> {
  const [kept, { resources }] = await Promise.all([
    ask(`Patient/${childId}`),
    pageAt(ask, `Task?patient=Patient/${childId}&_sort=-_lastUpdated&_count=${MOST_TASKS}`),
  ])
  if (kept.status !== 200) throw new NoAnswer(kept)
  const tasks = those(Task, resources)
  const ofReferrals = tasks.flatMap((task) => {
    const id = idIn('ServiceRequest', task.focus?.reference)
    return id === undefined || (shown !== undefined && id !== shown) ? [] : [{ id, task }]
  })
  const found = ofReferrals.find(({ task }) => (task.output ?? []).length > 0) ?? ofReferrals[0]
  const [courses, referral] = await Promise.all([
    coursesOf(ask, tasks),
    found === undefined ? undefined : referralContent(ask, found.id, found.task),
  ])
  return {
    child: Patient.parse(JSON.parse(kept.body)),
    tasks,
    courses: withAborts(courses, tasks),
    referral,
  }
}

async function referralContent(ask: Ask, id: string, task: Task): Promise<ReferralContent> {
  const results = (task.output ?? []).flatMap(
    ({ valueReference }) => idIn('Observation', valueReference?.reference) ?? [],
  )
  const [findings, plan, ...pictures] = await Promise.all([
    results.length === 0
      ? []
      : pageAt(ask, `Observation?_id=${results.join(',')}&_count=${results.length}`).then(
          ({ resources }) => those(Observation, resources),
        ),
    ask(`ServiceRequest/${id}/$fitting-plan`),
    ...PICTURE_KINDS.map((kind) =>
      ask(`ServiceRequest/${id}/$chart?kind=${kind}`, { accept: 'image/svg+xml' }),
    ),
  ])
  const places = new Map(results.map((result, place) => [result, place]))
  return {
    id,
    findings: [...findings].toSorted(
      (one, other) => (places.get(one.id) ?? 0) - (places.get(other.id) ?? 0),
    ),
    pictures: pictures.flatMap(({ status, body }) => (status === 200 ? [body] : [])),
    plan: plan.status === 200 ? pageOf(plan.body).resources : { whyNot: wordsOf(plan.body) },
  }
}

/** @param page the query of a further page, as a link of ours gave it */
export async function auditContent(
  ask: Ask,
  { from, to, patient, who, action, refused }: AuditFilter,
  page: string | undefined,
): Promise<{ readonly events: readonly unknown[]; readonly next: string | undefined }> {
  const asked = new URLSearchParams({ _sort: '-date', _count: String(MOST_EVENTS) })
  const add = (name: string, value: string | undefined, prefix = ''): void => {
    if (value !== undefined && value !== '') asked.append(name, `${prefix}${value}`)
  }
  add('date', from, 'ge')
  add('date', to, 'le')
  add('patient', patient, 'Patient/')
  add('altid', who)
  add('action', action)
  if (refused === true) asked.append('outcome', '4,8,12')
  const { resources, next } = await pageAt(ask, `AuditEvent?${page ?? asked.toString()}`)
  return { events: resources, next: linkTo('/audit', next) }
}
